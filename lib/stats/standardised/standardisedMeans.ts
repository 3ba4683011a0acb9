import type { NotEstimable } from '../cells';
import { normalP, normalQuantile } from '../distributions/normal';
import { areaUpTo } from './functional';
import { jointly, type StandardisedOptions } from './jointly';
import type { Standardisation } from './standardisation';

/** Mean time free of the event up to the horizon, or a difference of two, in the unit of the cells' times; normal limits. */
export interface MeanTime {
  readonly status: 'ok';
  readonly mean: number;
  readonly standardError: number;
  readonly lower: number;
  readonly upper: number;
}

export interface StandardisedMeans {
  readonly horizon: number;
  readonly groups: readonly (MeanTime | NotEstimable)[];
  /** Position of a group less that of another, with the two-sided p-value of no difference. */
  readonly difference: (one: number, other: number) => (MeanTime & { readonly p: number }) | NotEstimable;
}

/**
 * Restricted mean time free of the event below each group's standardised curve. Where no group has an event its mean is the horizon, without
 * limits (NaN).
 * Royston & Parmar 2013, BMC Med Res Methodol 13:152; standardised by Cox models: Karrison 1987, J Am Stat Assoc 82:1169.
 */
export function standardisedMeans(standardisation: Standardisation, horizon: number, { confidence = 0.95, stops }: StandardisedOptions = {}): StandardisedMeans {
  const size = standardisation.groups.length, z = -normalQuantile((1 - confidence) / 2);
  const { functionals, covariance } = jointly(standardisation, horizon, stops, (g) => areaUpTo(standardisation, g, horizon));
  const noEvents = (g: number): boolean => covariance[g * (size + 1)] === 0;
  const limited = (mean: number, variance: number, least: number, lacking: boolean): MeanTime => {
    const standardError = lacking ? NaN : Math.sqrt(Math.max(0, variance));
    return { status: 'ok', mean, standardError, lower: Math.max(least, mean - z * standardError), upper: Math.min(horizon, mean + z * standardError) };
  };
  return {
    horizon,
    groups: functionals.map((f, g) => ('status' in f ? f : limited(f.value, covariance[g * (size + 1)]!, 0, noEvents(g)))),
    difference: (one, other) => {
      const a = functionals[one]!, b = functionals[other]!;
      if ('status' in a) return a;
      if ('status' in b) return b;
      const variance = covariance[one * (size + 1)]! + covariance[other * (size + 1)]! - 2 * covariance[one * size + other]!;
      const result = limited(a.value - b.value, variance, -horizon, noEvents(one) || noEvents(other));
      return { ...result, p: normalP(result.mean / result.standardError) };
    },
  };
}
