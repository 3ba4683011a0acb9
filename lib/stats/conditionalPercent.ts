import { beyondStop } from './beyondStop';
import type { NotEstimable } from './cells';
import type { LimitOptions, PercentEstimate } from './cumulativePercentRevision';
import { firstAbove } from './distinctTimes';
import { cumulativeEvents, numberAtRisk } from './eventTable';
import type { KaplanMeier } from './kaplanMeier';
import type { Stop } from './stopRule';
import { survivalLimits } from './survivalLimits';

/** Percent revised by `time` of those unrevised at `from`. */
export interface ConditionalPercent {
  readonly from: number;
  readonly time: number;
  /** Just before `from` and just before `time`. */
  readonly atRiskFrom: number;
  readonly atRisk: number;
  /** Events of interest after `from`, up to and including `time`. */
  readonly events: number;
  readonly estimate: PercentEstimate | NotEstimable;
}

/**
 * 100 (1 − S(time)/S(from)) with limits as for a curve that begins at `from`: increments of the log variance are independent.
 * Of an estimator with competing events this is not the conditional incidence: give it a Kaplan–Meier curve.
 * Kalbfleisch & Prentice 2002, §1.4.
 */
export function conditionalPercent(km: KaplanMeier, stop: Stop, from: number, time: number, options: LimitOptions = {}): ConditionalPercent {
  if (!(from < time)) throw new RangeError(`time must be after the time of the condition (${from}): ${time}`);
  const { table } = km, atRiskFrom = numberAtRisk(table, from), atRisk = numberAtRisk(table, time);
  const events = cumulativeEvents(table, time) - cumulativeEvents(table, from);
  return { from, time, atRiskFrom, atRisk, events, estimate: estimateBetween(km, stop, from, time, atRisk, options) };
}

function estimateBetween(km: KaplanMeier, stop: Stop, from: number, time: number, atRisk: number, options: LimitOptions): PercentEstimate | NotEstimable {
  const { confidence = 0.95, scale = 'log-log' } = options;
  const beyond = beyondStop(km.table, stop, time, atRisk);
  if (beyond) return beyond;
  const [before, after] = [from, time].map((t) => {
    const j = firstAbove(km.table.time, t) - 1;
    return { survival: km.survival[j] ?? 1, varLog: km.varLog[j] ?? 0 };
  }) as [{ survival: number; varLog: number }, { survival: number; varLog: number }];
  if (before.survival === 0) return { status: 'notEstimable', reason: 'all revised by the time of the condition' };
  const survival = after.survival / before.survival, varLog = after.varLog - before.varLog;
  const { lower, upper } = survivalLimits(survival, varLog, atRisk, confidence, scale);
  return {
    status: 'ok',
    percent: 100 * (1 - survival),
    standardError: survival * Math.sqrt(varLog),
    lower: 100 * (1 - upper),
    upper: 100 * (1 - lower),
    noEvents: survival === 1,
  };
}
