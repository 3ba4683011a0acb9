import { percentAt, percentCurve } from '../../stats/cumulativePercentRevision';
import type { Cells } from '../../stats/cells';
import { eventTables } from '../../stats/eventTable';
import { kaplanMeier } from '../../stats/kaplanMeier';
import { stopOf } from '../../stats/stopRule';
import type { TableOptions } from '../arguments';

/** Cumulative percent per group up to the stop, and at the times asked for; `events` there are those up to and including the time. */
export function kaplanMeierByGroup(cells: Cells, group: Int32Array, levels: readonly string[], options: TableOptions) {
  const limits = { scale: options.conf };
  return eventTables(cells, group, levels.length).map((table, g) => {
    const km = kaplanMeier(table);
    const stop = stopOf(km, { largestStep: 0, minAtRisk: options['min-at-risk'] });
    const { percent, standardError, lower, upper } = percentCurve(km, limits);
    return {
      group: levels[g]!,
      n: table.procedures,
      events: table.events.reduce((sum, d) => sum + d, 0),
      curve: Array.from(table.time.subarray(0, stop.index + 1), (time, j) => ({
        time,
        atRisk: table.atRisk[j]!,
        events: table.events[j]!,
        censored: table.censored[j]! + table.competing[j]!,
        percent: percent[j]!,
        stdErr: standardError[j]!,
        lower: lower[j]!,
        upper: upper[j]!,
      })),
      at: options.at.map((time) => {
        const { atRisk, events, estimate } = percentAt(km, stop, time, limits);
        const row = { time, atRisk, events };
        return estimate.status === 'ok'
          ? { ...row, percent: estimate.percent, stdErr: estimate.standardError, lower: estimate.lower, upper: estimate.upper, status: 'ok' }
          : { ...row, percent: null, stdErr: null, lower: null, upper: null, ...estimate };
      }),
    };
  });
}
