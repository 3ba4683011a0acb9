import { percentAt, percentCurve, type PercentEstimate } from '../../stats/cumulativePercentRevision';
import type { NotEstimable } from '../../stats/cells';
import type { KaplanMeier } from '../../stats/kaplanMeier';
import type { Stop } from '../../stats/stopRule';
import type { TableOptions } from '../arguments';

/** A row per time up to the stop; `censored` holds all that ended otherwise than by the event. */
export function curveRows(km: KaplanMeier, stop: Stop, { conf }: TableOptions) {
  const { percent, standardError, lower, upper } = percentCurve(km, { scale: conf }), { table } = km;
  return Array.from(table.time.subarray(0, stop.index + 1), (time, j) => ({
    time,
    atRisk: table.atRisk[j]!,
    events: table.events[j]!,
    censored: table.censored[j]! + table.competing[j]!,
    percent: percent[j]!,
    stdErr: standardError[j]!,
    lower: lower[j]!,
    upper: upper[j]!,
  }));
}

/** The curve at one time; `events` are those up to and including it. */
export function atRow(km: KaplanMeier, stop: Stop, time: number, { conf }: TableOptions) {
  const { atRisk, events, estimate } = percentAt(km, stop, time, { scale: conf });
  return { time, atRisk, events, ...percentJson(estimate) };
}

export const percentJson = (estimate: PercentEstimate | NotEstimable) => (estimate.status === 'ok'
  ? { percent: estimate.percent, stdErr: estimate.standardError, lower: estimate.lower, upper: estimate.upper, status: 'ok' }
  : { percent: null, stdErr: null, lower: null, upper: null, ...estimate });
