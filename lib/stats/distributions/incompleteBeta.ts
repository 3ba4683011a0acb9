import type { Tails } from './incompleteGamma';
import { poissonDensity } from './poissonDensity';

/** Tails of the beta distribution with parameters a and b (above 0) at x, 0 to 1: the regularised incomplete beta functions. */
export function betaTails(a: number, b: number, x: number): Tails {
  if (Number.isNaN(a + b + x)) return { lower: NaN, upper: NaN };
  if (x <= 0) return { lower: 0, upper: 1 };
  if (x >= 1) return { lower: 1, upper: 0 };
  if (x < (a + 1) / (a + b + 2)) {
    const lower = (front(a, b, x) * betaFraction(x, a, b)) / a;
    return { lower, upper: 1 - lower };
  }
  const upper = (front(a, b, x) * betaFraction(1 - x, b, a)) / b;
  return { lower: 1 - upper, upper };
}

/** x^a (1 − x)^b / B(a, b), from a binomial probability with parameters that need not be whole. */
const front = (a: number, b: number, x: number): number =>
  ((a * b) / (a + b)) * ((poissonDensity(a, (a + b) * x) * poissonDensity(b, (a + b) * (1 - x))) / poissonDensity(a + b, a + b));

/** The continued fraction of the incomplete beta function, by Lentz's method: Abramowitz & Stegun 26.5.8. */
export function betaFraction(x: number, a: number, b: number): number {
  const tiny = 1e-300;
  let c = 1, d = 1 / (1 - ((a + b) * x) / (a + 1) || tiny), value = d;
  for (let m = 1; m < 10_000; ++m) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m)), odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + even * d || tiny);
    c = 1 + even / c || tiny;
    value *= d * c;
    d = 1 / (1 + odd * d || tiny);
    c = 1 + odd / c || tiny;
    value *= d * c;
    if (Math.abs(d * c - 1) <= 2 ** -52) break;
  }
  return value;
}
