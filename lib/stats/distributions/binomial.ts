import { bracketedRoot } from '../frailty/bracketedRoot';
import { poissonDensity } from './poissonDensity';

/** Pr(X ≥ count), Pr(X ≤ count) and Pr(X = count) of `trials`, each with this probability, above 0 and below 1. */
export function binomialTails(count: number, trials: number, probability: number): { readonly higher: number; readonly lower: number; readonly at: number } {
  // a binomial count is a Poisson one given the sum of two
  const at = trials === 0 ? 1
    : (poissonDensity(count, trials * probability) * poissonDensity(trials - count, trials * (1 - probability))) / poissonDensity(trials, trials);
  const odds = probability / (1 - probability);
  let above = 0, below = 0;
  if (count > trials * probability) {
    for (let k = count, term = at; k < trials && term > above * 2 ** -60; ++k) above += term *= ((trials - k) / (k + 1)) * odds;
    return { higher: at + above, lower: 1 - above, at };
  }
  for (let k = count, term = at; k > 0 && term > below * 2 ** -60; --k) below += term *= k / ((trials - k + 1) * odds);
  return { higher: 1 - below, lower: at + below, at };
}

/** Exact limits of a share, 0–1, of which `count` of `trials` (at least 1) were seen. Clopper & Pearson 1934, Biometrika 26:404. */
export function binomialLimits(count: number, trials: number, confidence = 0.95): { readonly lower: number; readonly upper: number } {
  const tail = (1 - confidence) / 2, seen = Math.log((count + 0.5) / (trials - count + 0.5));
  const limit = (side: 'higher' | 'lower'): number => {
    const excess = (logit: number): number => Math.log(binomialTails(count, trials, 1 / (1 + Math.exp(-logit)))[side] / tail);
    const step = side === 'higher' ? -1 : 1;
    let size = 2 * Math.sqrt(1 / (count + 0.5) + 1 / (trials - count + 0.5)); // two standard errors: further out the tail may vanish
    while (excess(seen + step * size) > 0) size *= 2;
    const root = bracketedRoot(excess, seen, seen + step * size, excess(seen), excess(seen + step * size), 1e-13);
    return 1 / (1 + Math.exp(-root));
  };
  return { lower: count === 0 ? 0 : limit('higher'), upper: count === trials ? 1 : limit('lower') };
}
