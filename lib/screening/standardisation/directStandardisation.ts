import type { NotEstimable } from '../../stats/cells';
import { gammaQuantile } from '../../stats/distributions/gammaQuantile';

export interface RateStratum {
  readonly label: string;
  readonly observed: number;
  /** At risk, in any unit. */
  readonly time: number;
  /** Size of the stratum in the standard case mix, on any scale. */
  readonly weight: number;
}

/** Revisions per unit of time as they would be with the standard case mix; times 100 per 100 component-years, where time is in years. */
export interface DirectRate {
  readonly status: 'ok';
  readonly rate: number;
  readonly lower: number;
  readonly upper: number;
}

/** Gamma limits, which are exact where the strata weigh as their time. Fay & Feuer 1997, Stat Med 16:791. */
export function directStandardisation(strata: readonly RateStratum[], confidence = 0.95): DirectRate | NotEstimable {
  const total = strata.reduce((sum, { weight }) => sum + weight, 0);
  if (!(total > 0)) return { status: 'notEstimable', reason: 'the standard case mix is empty' };
  const weighing = strata.filter(({ weight }) => weight > 0);
  const without = weighing.find(({ time }) => !(time > 0));
  if (without) return { status: 'notEstimable', reason: `no time at risk in ${without.label}` };

  let rate = 0, variance = 0, largest = 0;
  for (const { observed, time, weight } of weighing) {
    const each = weight / total / time; // what one revision adds to the rate
    rate += each * observed;
    variance += each * each * observed;
    largest = Math.max(largest, each);
  }
  const quantile = (mean: number, spread: number, tail: 'lower' | 'upper'): number => (spread / mean) * gammaQuantile((1 - confidence) / 2, (mean * mean) / spread, tail);
  return { status: 'ok', rate, lower: rate === 0 ? 0 : quantile(rate, variance, 'lower'), upper: quantile(rate + largest, variance + largest * largest, 'upper') };
}
