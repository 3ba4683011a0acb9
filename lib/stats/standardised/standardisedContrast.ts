import type { NotEstimable } from '../cells';
import type { PercentEstimate } from '../cumulativePercentRevision';
import { normalQuantile } from '../distributions/normal';
import type { StandardisedAt } from './standardisedAt';

/** `value` with its limits; `standardError` of the value, for a ratio of its logarithm. */
export interface Contrast {
  readonly status: 'ok';
  readonly value: number;
  readonly standardError: number;
  readonly lower: number;
  readonly upper: number;
}

/** Groups compared as if both had the case mix of the whole cohort: `one` − `other` in percentage points, and `one` / `other`. */
export interface StandardisedContrast {
  readonly difference: Contrast | NotEstimable;
  readonly ratio: Contrast | NotEstimable;
}

/**
 * Difference with limits recovered from those of the two percents and their correlation (MOVER: Zou 2007, Psychol Methods 12:399), which hold
 * where one has no events; ratio with limits symmetric on the log scale. `one` and `other` are positions of groups.
 */
export function standardisedContrast(at: StandardisedAt, one: number, other: number, confidence = 0.95): StandardisedContrast {
  const size = at.groups.length, a = at.groups[one]!.estimate, b = at.groups[other]!.estimate;
  if (a.status !== 'ok') return { difference: a, ratio: a };
  if (b.status !== 'ok') return { difference: b, ratio: b };
  const covariance = at.covariance[one * size + other]!;
  return { difference: difference(a, b, covariance), ratio: ratio(a, b, covariance, confidence) };
}

function difference(a: PercentEstimate, b: PercentEstimate, covariance: number): Contrast {
  const value = a.percent - b.percent, spread = a.standardError * b.standardError, correlation = spread > 0 ? covariance / spread : 0;
  const margin = (one: number, other: number): number => Math.sqrt(Math.max(0, one * one + other * other - 2 * correlation * one * other));
  return {
    status: 'ok',
    value,
    standardError: 100 * Math.sqrt(Math.max(0, a.standardError ** 2 + b.standardError ** 2 - 2 * covariance)),
    lower: value - margin(a.percent - a.lower, b.upper - b.percent),
    upper: value + margin(a.upper - a.percent, b.percent - b.lower),
  };
}

function ratio(a: PercentEstimate, b: PercentEstimate, covariance: number, confidence: number): Contrast | NotEstimable {
  if (a.noEvents || b.noEvents) return { status: 'notEstimable', reason: 'no revisions in one of the groups by then' };
  const value = a.percent / b.percent, r = (100 * a.standardError) / a.percent, s = (100 * b.standardError) / b.percent;
  const standardError = Math.sqrt(Math.max(0, r * r + s * s - (2 * 1e4 * covariance) / (a.percent * b.percent)));
  const factor = Math.exp(-normalQuantile((1 - confidence) / 2) * standardError);
  return { status: 'ok', value, standardError, lower: value / factor, upper: value * factor };
}
