import type { Question } from '../contract/question';
import type { Cells } from '../stats/cells';
import { eventTables } from '../stats/eventTable';
import { kaplanMeier, type KaplanMeier } from '../stats/kaplanMeier';
import { stopOf, type Stop } from '../stats/stopRule';

/** The survival curve of one group and where it may no longer be read. */
export interface GroupSurvival {
  readonly group: string;
  readonly km: KaplanMeier;
  readonly stop: Stop;
}

/** `group` has an entry per cell: a position in `keys`. */
export const groupSurvival = (cells: Cells, group: Int32Array, keys: readonly string[], { largestStep }: Question): readonly GroupSurvival[] =>
  eventTables(cells, group, keys.length).map((table, g) => {
    const km = kaplanMeier(table);
    return { group: keys[g]!, km, stop: stopOf(km, { largestStep, minAtRisk: 0 }) };
  });
