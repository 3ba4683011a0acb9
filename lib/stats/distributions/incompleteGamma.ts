import { poissonDensity } from './poissonDensity';

/** Both tails of a distribution at one point, each accurate in itself however small; NaN where the point or a parameter is. */
export interface Tails { readonly lower: number; readonly upper: number }

/**
 * Tails of the gamma distribution with the given shape (above 0) and scale 1: the regularised incomplete gamma functions P and Q.
 * Series below shape + 1, Legendre's continued fraction above (Abramowitz & Stegun 6.5.29, 6.5.31).
 */
export function gammaTails(shape: number, x: number): Tails {
  if (Number.isNaN(shape + x)) return { lower: NaN, upper: NaN };
  if (x <= 0) return { lower: 0, upper: 1 };
  if (x === Infinity) return { lower: 1, upper: 0 };
  if (x < shape + 1) {
    const lower = poissonDensity(shape, x) * lowerSeries(shape, x);
    return { lower, upper: 1 - lower };
  }
  const upper = ((poissonDensity(shape, x) * shape) / x) * upperFraction(shape, x);
  return { lower: 1 - upper, upper };
}

/** Σ x^k / ((shape + 1) … (shape + k)). */
function lowerSeries(shape: number, x: number): number {
  for (let k = 1, term = 1, sum = 1; ; ++k) {
    term *= x / (shape + k);
    const next = sum + term;
    if (next === sum) return sum;
    sum = next;
  }
}

/** x^(1 − shape) e^x Γ(shape, x), by Lentz's method with Thompson and Barnett's change (1986, J Comput Phys 64:490). */
export function upperFraction(shape: number, x: number): number {
  const tiny = 1e-300;
  let b = x + 1 - shape, c = 1 / tiny, d = 1 / b, value = d;
  for (let k = 1; ; ++k) {
    const a = k * (shape - k);
    b += 2;
    d = 1 / (a * d + b || tiny);
    c = b + a / c || tiny;
    const factor = c * d;
    value *= factor;
    if (Math.abs(factor - 1) <= 2 ** -52) return value * x;
  }
}
