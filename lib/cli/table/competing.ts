import { aalenJohansen } from '../../stats/aalenJohansen';
import type { Cells } from '../../stats/cells';
import { grayTest } from '../../stats/grayTest';
import { kaplanMeier } from '../../stats/kaplanMeier';
import { eventTable } from '../../stats/eventTable';
import { stopOf } from '../../stats/stopRule';
import { indexesByGroup, subset } from '../../stats/subset';
import type { TableOptions } from '../arguments';
import { testJson } from './coxModel';
import { atRow, curveRows } from './curveRows';

const causesOf = ({ event }: Cells): number => event.reduce((most, e) => Math.max(most, e), 1);

/** Cumulative incidence in percent of each cause, per group; stops where 1 − KM does. */
export function aalenJohansenByGroup(cells: Cells, group: Int32Array, levels: readonly string[], options: TableOptions) {
  const causes = causesOf(cells);
  return indexesByGroup(group, levels.length).map((indexes, g) => {
    const own = subset(cells, indexes), table = eventTable(own);
    const stop = stopOf(kaplanMeier(table), { largestStep: 0, minAtRisk: options['min-at-risk'] });
    return {
      group: levels[g]!,
      n: table.procedures,
      causes: aalenJohansen(own, causes).causes.map((incidence) => ({
        cause: incidence.cause,
        events: incidence.table.events.reduce((sum, d) => sum + d, 0),
        curve: curveRows(incidence, stop, options),
        at: options.at.map((time) => atRow(incidence, stop, time, options)),
      })),
    };
  });
}

/** Gray's test of every cause, of the rows at risk from time 0: it knows no late entry. */
export function grayTests(cells: Cells, group: Int32Array, levels: readonly string[]) {
  const fromStart = Int32Array.from(group.keys()).filter((i) => (cells.entry?.[i] ?? 0) === 0);
  const { exit, event, count, stratum } = subset(cells, fromStart), groupOf = Int32Array.from(fromStart, (i) => group[i]!);
  const n = count.reduce((sum, rows) => sum + rows, 0), followed = { exit, event, count, ...(stratum && { stratum }) };
  return Array.from({ length: causesOf(cells) }, (_, k) => ({ cause: k + 1, n, ...testJson(grayTest(followed, groupOf, levels.length, k + 1)) }));
}
