import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coarsened, meanRoundingError, roundedCount } from '@/lib/disclosure/rounding';

describe('rounded counts', () => {
  it.each([
    { count: 0, base: 5, rounded: 0 }, { count: 7, base: 5, rounded: 5 }, { count: 8, base: 5, rounded: 10 }, { count: 12_347, base: 5, rounded: 12_345 },
    { count: 15, base: 10, rounded: 20 }, { count: 25, base: 10, rounded: 20 }, { count: 26, base: 10, rounded: 30 }, { count: 13, base: 1, rounded: 13 },
  ] as const)('$count to $base: $rounded', ({ count, base, rounded }) => { expect(roundedCount(count, base)).toBe(rounded); });

  it('are off by 1.2 of five and 2.5 of ten on average', () => {
    expect([meanRoundingError(1), meanRoundingError(5), meanRoundingError(10)]).toEqual([0, 1.2, 2.5]);
    for (const base of [5, 10] as const) {
      const off = Array.from({ length: 1000 }, (_, n) => roundedCount(n, base) - n);
      expect(off.reduce((sum, d) => sum + Math.abs(d), 0) / 1000).toBeCloseTo(meanRoundingError(base), 12);
      expect(Math.abs(off.reduce((sum, d) => sum + d, 0)), 'no drift').toBeLessThanOrEqual(base);
    }
  });
});

describe('numbers made from rounded counts', () => {
  it.each([
    { story: '41 of 812 revised: a step of one percentage point', value: 100 * 41 / 812, counts: [812, 41], base: 5, told: 5 },
    { story: 'a ratio on 41 revisions', value: 1.62, counts: [41], base: 5, told: 1.6 },
    { story: 'from a very large count nearly all of it', value: 12.3456, counts: [100_000], base: 5, told: 12.346 },
    { story: 'not rounded', value: 12.3456, counts: [10], base: 1, told: 12.3456 },
    { story: 'nothing stays nothing', value: 0, counts: [500], base: 10, told: 0 },
  ] as const)('$story', ({ value, counts, base, told }) => { expect(coarsened(value, counts, base)).toBe(told); });

  it('do not tell which of the counts that round alike it was', () => {
    fc.assert(fc.property(fc.integer({ min: 10, max: 400 }), fc.integer({ min: 500, max: 5000 }), fc.constantFrom(5 as const, 10 as const), (count, total, base) => {
      const told = coarsened((100 * count) / total, [count], base);
      const alike = Array.from({ length: 2 * base + 1 }, (_, i) => count - base + i).filter((n) => n > 0 && coarsened((100 * n) / total, [n], base) === told);
      expect(alike.length).toBeGreaterThanOrEqual(base / 2);
    }));
  });
});
