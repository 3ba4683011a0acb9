import type { NotEstimable } from './cells';
import type { PercentEstimate } from './cumulativePercentRevision';
import { normalQuantile } from './distributions/normal';

export interface PercentRatio {
  readonly status: 'ok';
  readonly ratio: number;
  readonly lower: number;
  readonly upper: number;
}

/**
 * Ratio of two independent cumulative percents, `one` to `other`, with limits symmetric on the log scale by the delta method:
 * Var(log F) = Var(S)/F². Katz et al. 1978, Biometrics 34:469, with Greenwood's variance in place of the binomial.
 */
export function percentRatio(one: PercentEstimate, other: PercentEstimate, confidence = 0.95): PercentRatio | NotEstimable {
  if (one.noEvents || other.noEvents) return { status: 'notEstimable', reason: 'no revisions in one of the groups by then' };
  const relative = [one, other].map(({ standardError, percent }) => (100 * standardError) / percent);
  if (relative.some((e) => !(e > 0))) return { status: 'notEstimable', reason: 'all of one of the groups revised by then' };
  const ratio = one.percent / other.percent;
  const factor = Math.exp(-normalQuantile((1 - confidence) / 2) * Math.hypot(...relative));
  return { status: 'ok', ratio, lower: ratio / factor, upper: ratio * factor };
}
