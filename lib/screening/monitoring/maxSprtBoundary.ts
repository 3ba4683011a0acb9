import type { NotEstimable } from '../../stats/cells';
import { poissonDensity } from '../../stats/distributions/poissonDensity';
import { bracketedRoot } from '../../stats/frailty/bracketedRoot';

/** Evidence for any ratio above 1 against 1, from the revisions so far: that of the likeliest ratio. */
export const maxSprtEvidence = (observed: number, expected: number): number =>
  (observed > expected ? expected - observed + observed * Math.log(observed / expected) : 0);

/** How long revisions are watched, and from how many on they can be a signal. */
export interface Watch {
  /** Revisions expected at the usual risk by the end, above 0. */
  readonly planned: number;
  /** Fewest revisions that can be a signal, from 1: with 1, a single early revision can. */
  readonly fewest: number;
}

/**
 * Chance of a signal before as many revisions are expected as planned, where the true risk is `ratio` times the usual: exact, for revisions that
 * come one by one and are looked at as they come. Kulldorff et al. 2011, Seq Anal 30:58; Kulldorff & Silva 2017, REVSTAT 15:373.
 */
export function maxSprtSignalChance(criticalValue: number, { planned, fewest }: Watch, ratio = 1): number {
  // chance[n]: no signal so far, and n revisions. The n-th is a signal where fewer than `signalBefore` were expected
  let chance = [1];
  for (let n = fewest, before = 0; before < planned; ++n) {
    const at = Math.min(planned, signalBefore(n, criticalValue)), density = densities(ratio * (at - before), n);
    const next = new Array<number>(n).fill(0); // n revisions by then would have been a signal
    chance.forEach((p, i) => {
      for (let k = 0; i + k < n && k < density.length; ++k) next[i + k]! += p * density[k]!;
    });
    chance = next;
    before = at;
  }
  return 1 - chance.reduce((sum, p) => sum + p, 0);
}

/** The expected number at which the evidence of n revisions falls to the critical value: n e^(−y) with n (y − 1 + e^(−y)) = criticalValue. */
function signalBefore(n: number, criticalValue: number): number {
  const height = criticalValue / n;
  let y = height + 1; // from above, where Newton's steps only go down
  for (let step = 1; step > 1e-15 * y;) {
    step = (y - 1 + Math.exp(-y) - height) / -Math.expm1(-y);
    y -= step;
  }
  return n * Math.exp(-y);
}

/** Poisson probabilities of 0, 1, 2 … events, as far as they count and below `most`. */
function densities(mean: number, most: number): number[] {
  const result: number[] = [];
  for (let k = 0, sum = 0; k < most && (k <= mean || result[k - 1]! > 1e-18); ++k) {
    sum += result[k] = poissonDensity(k, mean);
    if (sum === 1) break;
  }
  return result;
}

/** The evidence that is a signal, for a chance `alpha`, above 0 and below 1, of a false one by the end. */
export function maxSprtCriticalValue(watch: Watch, alpha: number): { readonly status: 'ok'; readonly value: number } | NotEstimable {
  const { planned, fewest } = watch;
  if (!(planned > 0 && planned < Infinity)) throw new RangeError(`planned must be a finite number above 0: ${planned}`);
  if (!(Number.isInteger(fewest) && fewest >= 1)) throw new RangeError(`fewest must be a whole number of at least 1: ${fewest}`);
  if (!(alpha > 0 && alpha < 1)) throw new RangeError(`alpha must be above 0 and below 1: ${alpha}`);
  const excess = (value: number): number => maxSprtSignalChance(value, watch) - alpha;
  const low = 1e-9, atLow = excess(low);
  if (atLow <= 0) return { status: 'notEstimable', reason: `so few revisions are expected (${planned}) that ${fewest} or more come by chance less often than a false signal is allowed to` };
  let high = 2;
  while (excess(high) > 0) high *= 2;
  return { status: 'ok', value: bracketedRoot(excess, low, high, atLow, excess(high), 1e-12) };
}
