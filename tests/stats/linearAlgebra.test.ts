import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cholesky, inverse, nullVector, quadraticForm, relativeTolerance, solve } from '@/lib/stats/cholesky';
import { generalisedEigen } from '@/lib/stats/generalisedEigen';
import { product } from '@/lib/stats/product';
import { addExactly, addRowExactly, exactSums } from '@/lib/stats/exactSums';
import { rangeSum, rangeTree } from '@/lib/stats/rangeSums';

const number = fc.double({ min: -3, max: 3, noNaN: true });
/** M M′ + I of order n, and M M′. */
const positiveDefinite = fc.integer({ min: 1, max: 5 }).chain((n) => fc.array(number, { minLength: n * n, maxLength: n * n }).map((values) => {
  const m = Float64Array.from(values), transposed = Float64Array.from(m, (_, k) => m[(k % n) * n + Math.floor(k / n)]!);
  const square = product(m, transposed, n);
  return { n, square, matrix: square.map((v, k) => v + (k % (n + 1) === 0 ? 1 : 0)) };
}));

describe('solving', () => {
  it('a matrix times its inverse is the identity, and solutions solve', () => {
    fc.assert(fc.property(positiveDefinite, ({ n, matrix }) => {
      const factor = cholesky(matrix, n, relativeTolerance(matrix, n));
      expect(factor.rank).toBe(n);
      product(matrix, inverse(factor), n).forEach((v, k) => { expect(v).toBeCloseTo(k % (n + 1) === 0 ? 1 : 0, 8); });
      const b = Float64Array.from({ length: n }, (_, i) => i + 1), x = solve(factor, b);
      b.forEach((v, i) => { expect(x.reduce((sum, xj, j) => sum + matrix[i * n + j]! * xj, 0)).toBeCloseTo(v, 7); });
      expect(quadraticForm(factor, b)).toBeCloseTo(x.reduce((sum, v, i) => sum + v * b[i]!, 0), 9);
    }));
  });

  it('leaves out a column that is the sum of two others, and finds the combination', () => {
    const x = [[1, 0, 1], [0, 1, 1], [2, 1, 3], [1, 5, 6]];
    const matrix = Float64Array.from({ length: 9 }, (_, k) => x.reduce((sum, row) => sum + row[Math.floor(k / 3)]! * row[k % 3]!, 0));
    const factor = cholesky(matrix, 3, relativeTolerance(matrix, 3));
    expect(Array.from(factor.pivot, (d) => d > 0)).toEqual([true, true, false]);
    expect(Array.from(nullVector(factor, 2))).toEqual([-1, -1, 1].map((v) => expect.closeTo(v, 12) as number));
    expect(solve(factor, Float64Array.of(1, 1, 1))[2]).toBe(0);
  });

  it('directions of one matrix against another: A v = μ B v and v′ B v = 1', () => {
    fc.assert(fc.property(positiveDefinite, ({ n, matrix, square }) => {
      for (const { value, vector } of generalisedEigen(square, matrix, n)) {
        const times = (m: Float64Array) => Array.from({ length: n }, (_, i) => vector.reduce((sum, v, j) => sum + m[i * n + j]! * v, 0));
        const a = times(square), b = times(matrix);
        a.forEach((v, i) => { expect(v).toBeCloseTo(value * b[i]!, 7); });
        expect(b.reduce((sum, v, i) => sum + v * vector[i]!, 0)).toBeCloseTo(1, 9);
        expect(value).toBeLessThan(1); // since B = A + I
      }
    }));
  });
});

describe('sums over ranges', () => {
  const ranges = fc.integer({ min: 1, max: 40 }).chain((size) => fc.record({
    values: fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 2 * size, maxLength: 2 * size }),
    ends: fc.array(fc.tuple(fc.nat(size - 1), fc.nat(size - 1)), { minLength: 1, maxLength: 10 }),
  }));
  it('agree with adding one by one', () => {
    fc.assert(fc.property(ranges, ({ values, ends }) => {
      const tree = rangeTree(Float64Array.from(values), 2);
      for (const [a, b] of ends) {
        const first = Math.min(a, b), last = Math.max(a, b), inside = (k: number) => k >= first && k <= last;
        const sums = [0, 1].map((j) => values.reduce((sum, v, at) => sum + (at % 2 === j && inside(Math.floor(at / 2)) ? v : 0), 0));
        expect(Array.from(rangeSum(tree, first, last, new Float64Array(2)))).toEqual(sums);
      }
    }));
  });
});

describe('sums with twice the digits', () => {
  const members = fc.array(fc.record({ weight: fc.double({ min: 1, max: 40, noNaN: true }).map(Math.exp), ends: fc.tuple(fc.nat(30), fc.nat(30)) }), { minLength: 1, maxLength: 60 });
  it('keep the small members of a running sum in which far larger ones come and go', () => {
    fc.assert(fc.property(members, (all) => {
      const sums = exactSums(32);
      const weights = all.map(({ weight }) => Math.round(weight));
      all.forEach(({ ends }, m) => {
        addExactly(sums, Math.max(...ends) + 1, weights[m]!);
        addExactly(sums, Math.min(...ends), -weights[m]!);
      });
      for (let k = 30; k >= 0; --k) addRowExactly(sums, 1, k + 1, k);
      for (let k = 1; k < 32; ++k) {
        const exact = all.reduce((sum, { ends }, m) => (Math.min(...ends) < k && k <= Math.max(...ends) + 1 ? sum + BigInt(weights[m]!) : sum), 0n);
        expect(sums.high[k]! + sums.low[k]!).toBe(Number(exact)); // whole numbers are added exactly
      }
    }));
  });
});
