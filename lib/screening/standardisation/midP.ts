import { gammaTails } from '../../stats/distributions/incompleteGamma';
import { poissonDensity } from '../../stats/distributions/poissonDensity';
import { bracketedRoot } from '../../stats/frailty/bracketedRoot';
import { poissonLimits } from '../../stats/rates';

/** One-sided p-values, 0–1: exact counts the whole probability of what was observed, mid-P half of it. Lancaster 1961, J Am Stat Assoc 56:223. */
export interface TailP { readonly exact: number; readonly midP: number }

/** Chance of as many events as observed or more, and of as few or fewer, where `expected` (at least 0) are. */
export function poissonTails(observed: number, expected: number): { readonly higher: TailP; readonly lower: TailP } {
  const half = poissonDensity(observed, expected) / 2;
  const higher = observed === 0 ? 1 : gammaTails(observed, expected).lower, lower = gammaTails(observed + 1, expected).upper;
  return { higher: { exact: higher, midP: higher - half }, lower: { exact: lower, midP: lower - half } };
}

/** Two-sided mid-P limits of a Poisson mean: narrower than the exact ones, with a coverage that is right on average. Berry & Armitage 1995, Statistician 44:417. */
export function midPLimits(observed: number, confidence = 0.95): { readonly lower: number; readonly upper: number } {
  const tail = (1 - confidence) / 2, widest = poissonLimits(observed, confidence);
  const root = (side: 'higher' | 'lower', low: number, high: number): number => {
    const excess = (mean: number): number => Math.log(poissonTails(observed, mean)[side].midP / tail);
    return bracketedRoot(excess, low, high, excess(low), excess(high), 1e-14 * high);
  };
  return { lower: observed === 0 ? 0 : root('higher', widest.lower, widest.upper), upper: root('lower', widest.lower, widest.upper) };
}
