import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { newcombe } from '@/lib/stats/proportions/newcombe';
import { wilson } from '@/lib/stats/proportions/wilson';

describe('limits of a proportion', () => {
  // Newcombe 1998, Stat Med 17:857, table I, method 3; to four decimals.
  it.each([
    [81, 263, 0.2553, 0.3662], [15, 148, 0.0624, 0.1605], [0, 20, 0, 0.1611], [1, 29, 0.0061, 0.1718],
  ])('%i of %i', (count, total, lower, upper) => {
    const limits = wilson(count, total);
    expect([limits.lower, limits.upper].map((v) => Number(v.toFixed(4)))).toEqual([lower, upper]);
    expect(limits.value).toBe(count / total);
  });

  // Counts: common practice, no source. Limits: R 4.2.2, prop.test(x, n, correct = FALSE), which are Wilson's.
  it.each([
    ['torn subscapularis repairs a year after surgery', 2, 60, 0.009189319256, 0.113637742743], ['attenuated ones', 3, 60, 0.01714950216, 0.13700516476], ['intact ones', 55, 60, 0.8193105798, 0.9638795434],
    ['heads over 3 mm from the ideal with a stem', 31, 100, 0.2277969721, 0.4062605572], ['and without', 65, 100, 0.5525444330, 0.7363575176],
    ['bone adaptation around long stems at eight years', 80, 100, 0.7111708344, 0.8666330667],
  ])('%s: %i of %i', (_, count, total, lower, upper) => {
    const limits = wilson(count, total);
    expect(limits.lower).toBeCloseTo(lower, 9);
    expect(limits.upper).toBeCloseTo(upper, 9);
  });

  it('lie within 0 and 1, around the share, and mirror those of the others', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 5000 }), fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0.5, max: 0.999, noNaN: true }), (total, part, confidence) => {
      const count = Math.round(part * total), own = wilson(count, total, confidence), rest = wilson(total - count, total, confidence);
      expect(own.lower).toBeGreaterThanOrEqual(0);
      expect(own.upper).toBeLessThanOrEqual(1);
      expect(own.lower).toBeLessThanOrEqual(own.value + 1e-12);
      expect(own.upper).toBeGreaterThanOrEqual(own.value - 1e-12);
      expect(own.lower).toBeCloseTo(1 - rest.upper, 12);
    }));
  });

  it.each([[3, 2], [-1, 2], [0, 0], [NaN, 2]])('refuses %d of %d', (count, total) => {
    expect(() => wilson(count, total)).toThrow(RangeError);
  });
});

describe('limits of a difference of proportions', () => {
  // Newcombe 1998, Stat Med 17:873, table II, method 10; to four decimals. From memory but for the first two.
  it.each([
    [56, 70, 48, 80, 0.0524, 0.3339], [9, 10, 3, 10, 0.1705, 0.8090], [10, 10, 0, 20, 0.6791, 1], [10, 10, 0, 10, 0.6075, 1],
  ])('%i of %i minus %i of %i', (x, m, y, n, lower, upper) => {
    const difference = newcombe({ count: x, total: m }, { count: y, total: n });
    expect(Number(difference.lower.toFixed(4))).toBe(lower);
    expect(Number(difference.upper.toFixed(4))).toBe(upper);
  });

  it('change sides with the groups', () => {
    const there = newcombe({ count: 5, total: 56 }, { count: 0, total: 29 }), back = newcombe({ count: 0, total: 29 }, { count: 5, total: 56 });
    expect([back.value, back.lower, back.upper]).toEqual([-there.value, -there.upper, -there.lower]);
  });
});
