import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { multinomial, type MultinomialFit } from '@/lib/stats/regression/multinomial';

const fitted = (result: ReturnType<typeof multinomial>): MultinomialFit => {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
};
const classNames = (n: number): string[] => Array.from({ length: n }, (_, k) => `design ${k + 1}`);
const fitOf = (names: string[], values: number[][], counts: number[][]) =>
  multinomial({ names, values: Float64Array.from(values.flat()) }, Float64Array.from(counts.flat()), classNames(counts[0]!.length));

describe('laws of the fit', () => {
  const tables = fc.record({
    values: fc.array(fc.tuple(fc.integer({ min: 0, max: 1 }), fc.integer({ min: 0, max: 6 })), { minLength: 4, maxLength: 20 }),
    seed: fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 60, maxLength: 60 }),
  }).map(({ values, seed }) => ({ values: values.map((v) => [...v]), counts: values.map((_, p) => [0, 1, 2].map((k) => seed[3 * p + k]!)) }));

  it('has as many of each class as were counted, over all and in each column', () => {
    fc.assert(fc.property(tables, ({ values, counts }) => {
      const { probability } = fitted(fitOf(['revised before', 'age'], values, counts));
      const total = counts.map((row) => row.reduce((a, b) => a + b));
      for (const weight of [() => 1, (p: number) => values[p]![0]!, (p: number) => values[p]![1]!]) {
        for (let k = 0; k < 3; ++k) {
          const expected = counts.reduce((sum, row, p) => sum + row[k]! * weight(p), 0);
          expect(total.reduce((sum, n, p) => sum + n * probability[3 * p + k]! * weight(p), 0)).toBeCloseTo(expected, 7);
        }
      }
    }));
  });

  it('does not know the order of patterns, nor a pattern counted in two parts', () => {
    fc.assert(fc.property(tables, ({ values, counts }) => {
      const whole = fitted(fitOf(['revised before', 'age'], values, counts));
      const parts = fitted(fitOf(['revised before', 'age'], [...values, ...values].reverse(), [...counts.map((row) => row.map(() => 1)), ...counts.map((row) => row.map((n) => n - 1))].reverse()));
      whole.coefficient.forEach((b, k) => { if (Number.isNaN(b)) expect(parts.coefficient[k]).toBeNaN(); else expect(parts.coefficient[k]).toBeCloseTo(b, 7); });
    }));
  });

  it('with one yes-or-no column is the odds ratio of the two-by-two table', () => {
    const fit = fitted(fitOf(['glenoid erosion'], [[0], [1]], [[40, 10], [15, 30]]));
    expect(fit.coefficient[1]).toBeCloseTo(Math.log((30 * 40) / (15 * 10)), 12);
    expect(fit.covariance[3]).toBeCloseTo(1 / 40 + 1 / 10 + 1 / 15 + 1 / 30, 12); // Woolf 1955, Ann Hum Genet 19:251
  });

  it('leaves a column out that others determine, and says so', () => {
    const fit = fitted(fitOf(['age', 'age in months', 'one sex only'], [[50, 600, 1], [60, 720, 1], [70, 840, 1]], [[5, 3], [6, 4], [2, 9]]));
    expect(fit.leftOut).toEqual(['age in months', 'one sex only']);
    expect([...fit.coefficient].map(Number.isNaN)).toEqual([false, false, true, true]);
  });
});

describe('where there is no estimate', () => {
  it.each([
    { story: 'a design never used for fractures', names: ['fracture'], values: [[0], [1]], counts: [[20, 12], [9, 0]],
      reason: 'no procedures with fracture among those with design 2, so there is nothing to compare them with' },
    { story: 'a design used for nothing else', names: ['age', 'fracture'], values: [[60, 0], [70, 1], [60, 1], [70, 0]], counts: [[0, 8], [5, 6], [4, 7], [0, 3]],
      reason: 'no procedures without fracture among those with design 1, so there is nothing to compare them with' },
    { story: 'one design for the young, one for the old', names: ['age'], values: [[50], [60], [70], [80]], counts: [[5, 0], [7, 0], [0, 6], [0, 9]],
      reason: 'age tells design 1 from design 2 without exception, so the groups have nothing in common to compare' },
    { story: 'a third design that only the old have', names: ['age', 'woman'], values: [[50, 0], [60, 1], [70, 0], [80, 1], [50, 1], [60, 0], [70, 1]],
      counts: [[5, 2, 0], [7, 3, 0], [3, 6, 0], [0, 0, 9], [4, 5, 0], [1, 2, 0], [2, 2, 0]],
      reason: 'age tells design 1 from design 2 from design 3 without exception, so the groups have nothing in common to compare' },
    { story: 'no one has the second design', names: ['age'], values: [[50], [60]], counts: [[5, 0], [7, 0]], reason: 'no procedures with design 2' },
    { story: 'a single design', names: ['age'], values: [[50], [60]], counts: [[5], [7]], reason: 'a single class: nothing to tell apart' },
  ])('$story', ({ names, values, counts, reason }) => {
    expect(fitOf(names, values, counts)).toEqual({ status: 'notEstimable', reason });
  });

  it('a negative count is refused', () => {
    expect(() => fitOf(['age'], [[50]], [[1, -1]])).toThrow('pattern 0: counts must be finite numbers of at least 0: -1');
  });
});
