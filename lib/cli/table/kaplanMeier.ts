import type { Cells } from '../../stats/cells';
import { eventTables } from '../../stats/eventTable';
import { kaplanMeier, type KaplanMeier } from '../../stats/kaplanMeier';
import { stopOf, type Stop } from '../../stats/stopRule';
import type { TableOptions } from '../arguments';
import { atRow, curveRows } from './curveRows';

/** The curve of a group, in percent, and where it ends. */
export interface GroupCurve {
  readonly group: string;
  readonly km: KaplanMeier;
  readonly stop: Stop;
}

export const groupCurves = (cells: Cells, group: Int32Array, levels: readonly string[], options: TableOptions): readonly GroupCurve[] =>
  eventTables(cells, group, levels.length).map((table, g) => {
    const km = kaplanMeier(table);
    return { group: levels[g]!, km, stop: stopOf(km, { largestStep: 0, minAtRisk: options['min-at-risk'] }) };
  });

/** Cumulative percent per group up to the stop, and at the times asked for. */
export const kaplanMeierByGroup = (curves: readonly GroupCurve[], options: TableOptions) => curves.map(({ group, km, stop }) => ({
  group,
  n: km.table.procedures,
  events: km.table.events.reduce((sum, d) => sum + d, 0),
  curve: curveRows(km, stop, options),
  at: options.at.map((time) => atRow(km, stop, time, options)),
}));

/** The last time at which every group's curve may be read; a group without rows has none and does not count. */
export const readableByAll = (curves: readonly GroupCurve[]): number =>
  curves.filter(({ km }) => km.table.procedures > 0).reduce((least, { stop }) => Math.min(least, stop.time), Infinity);
