import { betaTails } from './incompleteBeta';
import { gammaTails } from './incompleteGamma';
import { normalUpperTail } from './normal';
import { poissonDensity } from './poissonDensity';

/** Σ Pr(J = j) · term(j), J Poisson with the given mean, from its mode outwards. Terms are from 0 to 1. */
function poissonMixture(mean: number, term: (j: number) => number): number {
  const mode = Math.floor(mean);
  let sum = 0;
  for (let j = mode, p = poissonDensity(mode, mean); p > 1e-18; ++j, p *= mean / j) sum += p * term(j);
  for (let j = mode - 1, p = (poissonDensity(mode, mean) * mode) / mean; j >= 0 && p > 1e-18; p *= j / mean, --j) sum += p * term(j);
  return sum;
}

/** Pr(X > x) of the noncentral χ² on df degrees of freedom. Fisher 1928, Proc R Soc A 121:654. */
export const noncentralChiSquareUpperTail = (x: number, df: number, noncentrality: number): number => (noncentrality === 0
  ? gammaTails(df / 2, x / 2).upper
  : poissonMixture(noncentrality / 2, (j) => gammaTails(df / 2 + j, x / 2).upper));

/** Pr(F > x) of the noncentral F on df1 and df2 degrees of freedom; noncentrality 0: Fisher's F. Patnaik 1949, Biometrika 36:202. */
export function noncentralFUpperTail(x: number, df1: number, df2: number, noncentrality: number): number {
  const share = (df1 * x) / (df1 * x + df2), tail = (j: number) => betaTails(df1 / 2 + j, df2 / 2, share).upper;
  return noncentrality === 0 ? tail(0) : poissonMixture(noncentrality / 2, tail);
}

/** Pr(T > t) of the noncentral t on df degrees of freedom. Lenth 1989, Appl Stat 38:185. */
export function noncentralTUpperTail(t: number, df: number, noncentrality: number): number {
  if (t < 0) return 1 - noncentralTUpperTail(-t, df, -noncentrality);
  const share = (t * t) / (df + t * t), half = noncentrality ** 2 / 2;
  if (half === 0) return betaTails(0.5, df / 2, share).upper / 2;
  // from 0 to t; the rest of the whole, 1 − Φ(−δ), is beyond
  const even = poissonMixture(half, (j) => betaTails(j + 0.5, df / 2, share).lower);
  const odd = halfMixture(half, (j) => betaTails(j + 1, df / 2, share).lower) * Math.sign(noncentrality);
  return Math.max(0, normalUpperTail(-noncentrality) - (even + odd) / 2);
}

/** Σ λ^(j+½) e^(−λ) / Γ(j + 3/2) · term(j). */
function halfMixture(mean: number, term: (j: number) => number): number {
  const mode = Math.max(0, Math.floor(mean - 0.5)), at = poissonDensity(mode + 0.5, mean);
  let sum = 0;
  for (let j = mode, p = at; p > 1e-18; ++j, p *= mean / (j + 0.5)) sum += p * term(j);
  for (let j = mode - 1, p = (at * (mode + 0.5)) / mean; j >= 0 && p > 1e-18; p *= (j + 0.5) / mean, --j) sum += p * term(j);
  return sum;
}
