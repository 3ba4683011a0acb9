import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { riskDifference } from '@/lib/stats/riskDifference';

describe('difference of two risks', () => {
  // Newcombe 1998, Stat Med 17:873, table II, method 10: the same recovery from the Wilson limits of each proportion.
  const wilson = ({ of: x, among: n }: { of: number; among: number }) => {
    const z = 1.959963984540054, p = x / n, middle = 2 * x + z * z, spread = z * Math.sqrt(z * z + 4 * x * (1 - p)), size = 2 * (n + z * z);
    return { value: p, lower: (middle - spread) / size, upper: (middle + spread) / size };
  };
  it.each([
    { one: { of: 56, among: 70 }, other: { of: 48, among: 80 }, lower: 0.0524, upper: 0.3339 },
    { one: { of: 9, among: 10 }, other: { of: 3, among: 10 }, lower: 0.1705, upper: 0.809 },
  ])('$one.of of $one.among against $other.of of $other.among', ({ one, other, lower, upper }) => {
    const difference = riskDifference(wilson(one), wilson(other));
    expect(difference.lower).toBeCloseTo(lower, 4);
    expect(difference.upper).toBeCloseTo(upper, 4);
  });

  it('changes sign when the two change places', () => {
    const limited = fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }))
      .map((three) => { const [lower, value, upper] = three.sort((a, b) => a - b); return { lower, value, upper }; });
    fc.assert(fc.property(limited, limited, (a, b) => {
      const [ab, ba] = [riskDifference(a, b), riskDifference(b, a)];
      expect(ab.value).toBeCloseTo(-ba.value, 12);
      expect(ab.lower).toBeCloseTo(-ba.upper, 12);
      expect(ab.lower).toBeLessThanOrEqual(ab.value);
    }));
  });
});
