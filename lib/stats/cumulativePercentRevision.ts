import { beyondStop } from './beyondStop';
import type { NotEstimable } from './cells';
import { firstAbove } from './distinctTimes';
import { cumulativeEvents, numberAtRisk } from './eventTable';
import type { KaplanMeier } from './kaplanMeier';
import type { Stop } from './stopRule';
import { survivalLimits, type LimitScale } from './survivalLimits';

export interface LimitOptions {
  /** Two-sided, 0–1; default 0.95. */
  readonly confidence?: number;
  /** Default `log-log`. */
  readonly scale?: LimitScale;
}

/** 100 (1 − S), 0–100, from each time of the event table until the next. NaN: no limit there. */
export interface PercentCurve {
  readonly percent: Float64Array;
  /** Standard error of S (0–1), by Greenwood's formula; NaN once S is 0. */
  readonly standardError: Float64Array;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  /** Steps before this index have no event yet: their upper limit is the exact binomial one of none among those at risk. */
  readonly firstEvent: number;
}

export function percentCurve(km: KaplanMeier, options: LimitOptions = {}): PercentCurve {
  const { survival, varLog, table } = km, size = survival.length;
  const percent = new Float64Array(size), standardError = new Float64Array(size), lower = new Float64Array(size), upper = new Float64Array(size);
  let firstEvent = size;
  for (let j = 0; j < size; ++j) {
    const s = survival[j]!, limits = percentLimits(s, varLog[j]!, table.atRisk[j]!, options);
    if (s < 1 && firstEvent === size) firstEvent = j;
    percent[j] = 100 * (1 - s);
    standardError[j] = s * Math.sqrt(varLog[j]!);
    lower[j] = limits.lower;
    upper[j] = limits.upper;
  }
  return { percent, standardError, lower, upper, firstEvent };
}

function percentLimits(survival: number, varLog: number, atRisk: number, { confidence = 0.95, scale = 'log-log' }: LimitOptions) {
  const { lower, upper } = survivalLimits(survival, varLog, atRisk, confidence, scale);
  return { lower: 100 * (1 - upper), upper: 100 * (1 - lower) };
}

export interface PercentAtTime {
  readonly time: number;
  /** Just before `time`. */
  readonly atRisk: number;
  /** Events of interest up to and including `time`. */
  readonly events: number;
  readonly estimate: PercentEstimate | NotEstimable;
}

/** Percent 0–100. */
export interface PercentEstimate {
  readonly status: 'ok';
  readonly percent: number;
  readonly standardError: number; // of S, 0–1
  readonly lower: number; // NaN: no limit
  readonly upper: number;
  readonly noEvents: boolean; // no event yet: the upper limit is the exact binomial one of none among those at risk
}

/**
 * The value of the step function at a time; past the stop it is not estimable, however few events would be needed. Before anybody comes
 * under observation it is 0 % without an upper limit.
 */
export function percentAt(km: KaplanMeier, stop: Stop, time: number, options: LimitOptions = {}): PercentAtTime {
  const { table } = km;
  const atRisk = numberAtRisk(table, time), events = cumulativeEvents(table, time);
  return { time, atRisk, events, estimate: estimateAt(km, stop, time, atRisk, options) };
}

function estimateAt(km: KaplanMeier, stop: Stop, time: number, atRisk: number, options: LimitOptions): PercentEstimate | NotEstimable {
  const beyond = beyondStop(km.table, stop, time, atRisk);
  if (beyond) return beyond;
  const j = firstAbove(km.table.time, time) - 1;
  const survival = j < 0 ? 1 : km.survival[j]!, varLog = j < 0 ? 0 : km.varLog[j]!;
  return {
    status: 'ok',
    percent: 100 * (1 - survival),
    standardError: survival * Math.sqrt(varLog),
    ...percentLimits(survival, varLog, atRisk, options),
    noEvents: survival === 1,
  };
}
