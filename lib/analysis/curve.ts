import type { Question } from '../contract/question';
import { percentAt, percentCurve } from '../stats/cumulativePercentRevision';
import type { GroupSurvival } from './groupSurvival';
import type { Curve } from './result';

/** The curve of a group from day 0 to its stop; empty where too few are at risk from the start. */
export function curveOf({ group, km, stop }: GroupSurvival, { confidence }: Question): Curve {
  const { percent, lower, upper } = percentCurve(km, { confidence });
  const readable = stop.index + 1;
  const start = readable > 0 && km.table.time[0]! > 0 ? percentAt(km, stop, 0, { confidence }) : null;
  const from = start?.estimate.status === 'ok' ? { ...start.estimate, atRisk: start.atRisk } : null;
  const withStart = (first: number | undefined, rest: Float64Array): Float64Array => {
    if (from === null) return rest.slice(0, readable);
    const values = new Float64Array(1 + readable);
    values[0] = first!;
    values.set(rest.subarray(0, readable), 1);
    return values;
  };
  return {
    group,
    days: withStart(0, km.table.time),
    percent: withStart(0, percent),
    lower: withStart(from?.lower, lower),
    upper: withStart(from?.upper, upper),
    atRisk: withStart(from?.atRisk, km.table.atRisk),
    stop: { day: stop.time, atRisk: stop.atRisk, stopped: stop.stopped },
    thinFromDay: stop.thinFrom,
  };
}
