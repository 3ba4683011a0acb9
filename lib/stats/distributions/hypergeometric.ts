import { poissonDensity } from './poissonDensity';

/**
 * Pr(X ≤ count) and Pr(X ≥ count) where X of the `marked` among `total` fall to the `drawn`. Fisher's exact test of two proportions is their smaller one.
 * Whole numbers of at least 0; max(0, drawn + marked − total) ≤ count ≤ min(drawn, marked).
 */
export function hypergeometricTails(count: number, drawn: number, marked: number, total: number): { readonly lower: number; readonly higher: number } {
  const share = marked / total, others = total - drawn;
  // two binomial counts given their sum
  const at = marked === 0 || marked === total ? 1
    : (binomialDensity(count, drawn, share) * binomialDensity(marked - count, others, share)) / binomialDensity(marked, total, share);
  const ratioAfter = (k: number): number => ((drawn - k) * (marked - k)) / ((k + 1) * (others - marked + k + 1));
  let above = 0, below = 0;
  for (let k = count, term = at; term > above * 2 ** -60; ++k) above += term *= ratioAfter(k);
  for (let k = count, term = at; k > 0 && others - marked + k > 0 && term > below * 2 ** -60; --k) below += term /= ratioAfter(k - 1);
  return { lower: Math.min(1, at + below), higher: Math.min(1, at + above) };
}

const binomialDensity = (count: number, trials: number, probability: number): number => (trials === 0 ? 1
  : (poissonDensity(count, trials * probability) * poissonDensity(trials - count, trials * (1 - probability))) / poissonDensity(trials, trials));
