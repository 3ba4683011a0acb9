import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RandomStream } from '@/sample-registry/random';

const word = fc.integer({ min: 0, max: 2 ** 32 - 1 });
const sample = (n: number, draw: (random: RandomStream) => number) => Array.from({ length: n }, (_, i) => draw(new RandomStream(1, 2, i)));
const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length;
const variance = (values: readonly number[]) => mean(values.map((v) => v * v)) - mean(values) ** 2;

describe('random streams', () => {
  it('repeat for the same three words, and differ when any of them does', () => {
    fc.assert(fc.property(word, word, word, (seed, purpose, index) => {
      const draws = (...words: [number, number, number]) => {
        const random = new RandomStream(...words);
        return [random.uniform(), random.uniform()];
      };
      const own = draws(seed, purpose, index);
      expect(draws(seed, purpose, index)).toEqual(own);
      for (const other of [draws(seed ^ 1, purpose, index), draws(seed, purpose ^ 1, index), draws(seed, purpose, index ^ 1)]) expect(other).not.toEqual(own);
    }));
  });

  // The first draws of neighbouring streams, which is how patients get theirs. Limits are five standard errors.
  const n = 50_000;
  it.each([
    { what: 'uniform', draw: (r: RandomStream) => r.uniform(), mean: 1 / 2, variance: 1 / 12, kurtosis: 1.8 },
    { what: 'exponential', draw: (r: RandomStream) => r.exponential(), mean: 1, variance: 1, kurtosis: 9 },
    { what: 'normal', draw: (r: RandomStream) => r.normal(), mean: 0, variance: 1, kurtosis: 3 },
    { what: 'log-normal of sd 0.3', draw: (r: RandomStream) => r.logNormal(0.3), mean: 1, variance: Math.expm1(0.09), kurtosis: 4.7 },
  ])('are $what across neighbouring streams', ({ draw, mean: m, variance: v, kurtosis }) => {
    const values = sample(n, draw);
    expect(Math.abs(mean(values) - m)).toBeLessThan(5 * Math.sqrt(v / n));
    expect(Math.abs(variance(values) - v)).toBeLessThan(5 * v * Math.sqrt((kurtosis - 1) / n));
  });

  it('do not follow their neighbours', () => {
    const values = sample(n, (r) => r.uniform() - 0.5);
    expect(Math.abs(mean(values.slice(1).map((v, i) => 12 * v * values[i]!)))).toBeLessThan(5 / Math.sqrt(n));
  });

  it('choose in proportion to the weights', () => {
    const chosen = sample(n, (r) => r.weighted([1, 0, 3]));
    expect(chosen.filter((c) => c === 1)).toEqual([]);
    expect(Math.abs(chosen.filter((c) => c === 2).length / n - 0.75)).toBeLessThan(5 * Math.sqrt((0.75 * 0.25) / n));
  });
});
