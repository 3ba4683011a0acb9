import { beyondStop } from './beyondStop';
import type { NotEstimable } from './cells';
import { normalP, normalQuantile } from './distributions/normal';
import { numberAtRisk } from './eventTable';
import type { KaplanMeier } from './kaplanMeier';
import type { Stop } from './stopRule';

/** Mean time free of the event up to `horizon`, in the unit of the cells' times. */
export interface RestrictedMean {
  readonly status: 'ok';
  readonly horizon: number;
  readonly mean: number;
  /** 0 only where there are no events. */
  readonly standardError: number;
  /** Within 0 and the horizon. */
  readonly lower: number;
  readonly upper: number;
  /** No event before the horizon: the lower limit is the horizon times the exact binomial one of S, none among those at risk. */
  readonly noEvents: boolean;
  /** At risk just before the horizon. */
  readonly atRisk: number;
  readonly confidence: number;
}

/**
 * The area under S from 0 to the horizon, which must not lie past the stop; normal limits.
 * Royston & Parmar 2013, BMC Med Res Methodol 13:152; Klein & Moeschberger 2003, Survival Analysis, §4.5.
 */
export function restrictedMean(km: KaplanMeier, stop: Stop, horizon: number, confidence = 0.95): RestrictedMean | NotEstimable {
  const { table, survival } = km, atRisk = numberAtRisk(table, horizon);
  const beyond = beyondStop(table, stop, horizon, atRisk);
  if (beyond) return beyond;
  if (!(horizon > 0)) return { status: 'notEstimable', reason: 'no time to average over' };
  let last = table.time.length - 1;
  while (last >= 0 && table.time[last]! >= horizon) --last; // an event on the horizon takes no time from the mean
  let mean = 0, variance = 0; // the mean is the area from the time at hand to the horizon
  for (let j = last, until = horizon; j >= 0; until = table.time[j--]!) {
    mean += survival[j]! * (until - table.time[j]!);
    const d = table.events[j]!, n = table.atRisk[j]!;
    if (d > 0 && d < n) variance += (mean * mean * d) / (n * (n - d));
  }
  mean += last >= 0 ? table.time[0]! : horizon;
  const noEvents = last < 0 || survival[last] === 1, tail = (1 - confidence) / 2;
  if (variance === 0 && !noEvents) return { status: 'notEstimable', reason: 'all at risk had the event on one day, which leaves nothing to estimate limits from' };
  const standardError = Math.sqrt(variance), margin = -normalQuantile(tail) * standardError;
  return {
    status: 'ok',
    horizon,
    mean,
    standardError,
    lower: noEvents ? horizon * tail ** (1 / atRisk) : Math.max(0, mean - margin),
    upper: Math.min(horizon, mean + margin),
    noEvents,
    atRisk,
    confidence,
  };
}

export interface RestrictedMeanDifference {
  readonly status: 'ok';
  readonly difference: number;
  readonly lower: number;
  readonly upper: number;
  /** Two-sided; NaN where a group has no events. */
  readonly p: number;
}

/**
 * `one` − `other`, independent and to one horizon. Normal limits; where a group has no events, whose standard error says nothing,
 * limits recovered from those of the two (MOVER: Zou & Donner 2008, Stat Med 27:1693), which are the same where both have.
 */
export function restrictedMeanDifference(one: RestrictedMean, other: RestrictedMean): RestrictedMeanDifference {
  if (one.horizon !== other.horizon) throw new RangeError(`both means must have one horizon: ${one.horizon}, ${other.horizon}`);
  const difference = one.mean - other.mean;
  return {
    status: 'ok',
    difference,
    lower: difference - Math.hypot(below(one), above(other)),
    upper: difference + Math.hypot(above(one), below(other)),
    p: one.noEvents || other.noEvents ? NaN : normalP(difference / Math.hypot(one.standardError, other.standardError)),
  };
}

const above = ({ standardError, confidence }: RestrictedMean): number => -normalQuantile((1 - confidence) / 2) * standardError;
const below = (mean: RestrictedMean): number => (mean.noEvents ? mean.mean - mean.lower : above(mean));
