import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { turnbull, type IntervalCells } from '@/lib/stats/interval/turnbull';
import { turnbullLimits } from '@/lib/stats/interval/turnbullLimits';

const cells = (rows: readonly (readonly [number, number, number])[]): IntervalCells =>
  ({ left: Float64Array.from(rows, ([l]) => l), right: Float64Array.from(rows, ([, r]) => r), count: Float64Array.from(rows, ([, , n]) => n) });
function estimated(rows: readonly (readonly [number, number, number])[]) {
  const given = cells(rows), fit = turnbull(given);
  if (fit.status !== 'ok') throw new Error(fit.reason);
  return { fit, steps: turnbullLimits(fit, given.count, 0.95) };
}

describe('time to a first sign, known between visits', () => {
  it('is the plain proportion with binomial variance where everybody comes to one visit', () => {
    const { steps } = estimated([[0, 365, 20], [365, Infinity, 80]]);
    expect(steps).toHaveLength(1);
    expect(steps[0]!.share).toBeCloseTo(0.2, 12);
    const error = Math.sqrt((0.2 * 0.8) / 100) / (0.8 * Math.abs(Math.log(0.8))); // log(−log) scale by hand
    expect(steps[0]!.lower).toBeCloseTo(1 - 0.8 ** Math.exp(-1.959963984540054 * error), 9);
    expect(steps[0]!.upper).toBeCloseTo(1 - 0.8 ** Math.exp(1.959963984540054 * error), 9);
  });

  it('shares out those who missed a visit as the others came', () => {
    // by hand: p1 = 10 + 12·p1/(p1 + p2) of 100 …: equal ones in the first two years are shared equally
    const { fit } = estimated([[0, 1, 10], [1, 2, 10], [0, 2, 12], [2, Infinity, 68]]);
    expect(Array.from(fit.mass)).toEqual([expect.closeTo(0.16, 8), expect.closeTo(0.16, 8), expect.closeTo(0.68, 8)]);
  });

  it('never seen: no mass before the last visit', () => {
    expect(estimated([[731, Infinity, 30], [1826, Infinity, 10]]).steps).toEqual([]);
  });

  it('fulfils the conditions of a maximum, and more rows of the same change nothing but the limits', () => {
    const day = fc.constantFrom(0, 365, 731, 1826, 3653);
    const row = fc.tuple(day, day, fc.integer({ min: 1, max: 30 })).map(([a, b, n]) => [Math.min(a, b), a === b ? Infinity : Math.max(a, b), n] as const);
    fc.assert(fc.property(fc.array(row, { minLength: 1, maxLength: 12 }), (rows) => {
      const { fit, steps } = estimated(rows), { mass, covers } = fit, size = mass.length, total = rows.reduce((sum, [, , n]) => sum + n, 0);
      const p = rows.map((_, i) => mass.reduce((sum, m, j) => sum + covers[i * size + j]! * m, 0));
      mass.forEach((m, j) => {
        const gradient = rows.reduce((sum, [, , n], i) => sum + (n * covers[i * size + j]!) / p[i]!, 0) / total;
        expect(gradient).toBeLessThan(1 + 1e-6);
        expect(m * Math.abs(gradient - 1)).toBeLessThan(1e-9); // what one more step would move: a mass that belongs on the edge of nothing, or just off it, goes in ever smaller ones
      });
      const twice = estimated([...rows, ...rows]).steps;
      steps.forEach(({ share, lower, upper }, k) => {
        expect(twice[k]!.share).toBeCloseTo(share, 5);
        if (!Number.isNaN(lower)) expect(lower <= share + 1e-9 && share <= upper + 1e-9).toBe(true);
      });
    }), { numRuns: 60 });
  });

  it.each([[[5, 5, 1]], [[-1, 5, 1]], [[0, 5, 0]]] as const)('refuses %j', (row) => {
    expect(() => turnbull(cells([row]))).toThrow(RangeError);
  });
});
