import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chiSquareUpperTail } from '@/lib/stats/distributions/chiSquare';
import { gammaQuantile } from '@/lib/stats/distributions/gammaQuantile';
import { betaTails } from '@/lib/stats/distributions/incompleteBeta';
import { gammaTails } from '@/lib/stats/distributions/incompleteGamma';
import { normalP, normalQuantile, normalUpperTail } from '@/lib/stats/distributions/normal';
import { poissonDensity } from '@/lib/stats/distributions/poissonDensity';

describe('distributions', () => {
  // Abramowitz & Stegun 1964, Tables 26.1 and 26.8.
  it('values in print', () => {
    expect(normalUpperTail(1)).toBeCloseTo(0.158655253931457, 15);
    expect(normalQuantile(0.975)).toBeCloseTo(1.959963984540054, 14);
    expect(chiSquareUpperTail(3.84146, 1)).toBeCloseTo(0.05, 7);
    expect(chiSquareUpperTail(18.307, 10)).toBeCloseTo(0.05, 5);
  });

  it('no p-value is 0 while a double can hold it', () => {
    expect(normalP(37)).toBeGreaterThan(0);
    expect(chiSquareUpperTail(1400, 1)).toBeGreaterThan(0);
    expect(normalP(-5)).toBe(normalP(5));
  });

  it('an even number of degrees of freedom has its closed form: e^(−x/2) Σ (x/2)^k/k!', () => {
    fc.assert(fc.property(fc.double({ min: 0.001, max: 300, noNaN: true }), fc.integer({ min: 1, max: 12 }), (x, half) => {
      let term = Math.exp(-x / 2), sum = term;
      for (let k = 1; k < half; ++k) sum += term *= x / 2 / k;
      expect(chiSquareUpperTail(x, 2 * half) / sum).toBeCloseTo(1, 12);
    }));
  });

  it('quantiles undo tails', () => {
    fc.assert(fc.property(fc.double({ min: 0.3, max: 2000, noNaN: true }), fc.double({ min: 1e-12, max: 0.999, noNaN: true }), (shape, p) => {
      expect(gammaTails(shape, gammaQuantile(p, shape)).lower / p).toBeCloseTo(1, 10);
      expect(gammaTails(shape, gammaQuantile(p, shape, 'upper')).upper / p).toBeCloseTo(1, 10);
      expect(normalUpperTail(normalQuantile(p)) / (1 - p)).toBeCloseTo(1, 10);
    }));
  });

  it('Poisson probabilities add up to 1', () => {
    const sum = Array.from({ length: 400 }, (_, x) => poissonDensity(x, 150)).reduce((s, p) => s + p, 0);
    expect(sum).toBeCloseTo(1, 13);
  });

  it('nothing lies beyond every bound, and what is no number has no probability', () => {
    expect([normalUpperTail(Infinity), normalUpperTail(-Infinity), normalP(Infinity), chiSquareUpperTail(Infinity, 2)]).toEqual([0, 1, 0, 0]);
    expect([normalUpperTail(NaN), normalP(NaN), chiSquareUpperTail(NaN, 1), chiSquareUpperTail(1, NaN), betaTails(1, 2, NaN).upper, poissonDensity(2, NaN), poissonDensity(2, Infinity)])
      .toEqual([NaN, NaN, NaN, NaN, NaN, NaN, NaN]);
  });

  it('probabilities outside 0 to 1 are refused', () => {
    expect(() => normalQuantile(1.2)).toThrow('probability must be from 0 to 1: 1.2');
    expect(() => gammaQuantile(-0.1, 2)).toThrow('probability must be from 0 to 1: -0.1');
    expect([normalQuantile(0), normalQuantile(1), gammaQuantile(0, 2), gammaQuantile(1, 2)]).toEqual([-Infinity, Infinity, 0, Infinity]);
  });
});
