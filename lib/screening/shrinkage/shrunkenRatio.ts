import type { NotEstimable } from '../../stats/cells';
import { gammaQuantile } from '../../stats/distributions/gammaQuantile';
import { gammaTails } from '../../stats/distributions/incompleteGamma';
import type { Counted } from '../funnel/overdispersion';
import type { RatioSpread } from './gammaPoisson';

/**
 * A unit's ratio drawn towards the mean of all units, the more so the less is expected of it. The limits take the spread of the units as known,
 * and are somewhat too narrow where the units are few.
 */
export interface ShrunkenRatio {
  readonly status: 'ok';
  readonly mean: number;
  readonly lower: number;
  readonly upper: number;
  /** Probability, 0–1, that the ratio is above the threshold. */
  readonly above: number;
}

export interface ShrinkageOptions {
  readonly confidence?: number;
  /** Default 1.5. */
  readonly threshold?: number;
}

/** Posterior of one unit: Gamma(shape + observed, rate + expected). Clayton & Kaldor 1987, Biometrics 43:671. */
export function shrunkenRatio(spread: RatioSpread | NotEstimable, unit: Counted, { confidence = 0.95, threshold = 1.5 }: ShrinkageOptions = {}): ShrunkenRatio | NotEstimable {
  if (spread.status === 'notEstimable') return spread;
  if (spread.status === 'noExcess') return { status: 'notEstimable', reason: 'the units differ no more than by chance' };
  const { shape, rate } = posterior(spread, unit), tail = (1 - confidence) / 2;
  return {
    status: 'ok',
    mean: shape / rate,
    lower: gammaQuantile(tail, shape, 'lower') / rate,
    upper: gammaQuantile(tail, shape, 'upper') / rate,
    above: gammaTails(shape, rate * threshold).upper,
  };
}

export const posterior = ({ shape, rate }: { readonly shape: number; readonly rate: number }, { observed, expected }: Counted) =>
  ({ shape: shape + observed, rate: rate + expected });
