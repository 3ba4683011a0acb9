import type { Cells } from '../cells';
import type { Lingering } from '../cox/lingering';
import { distinctTimes, firstAtLeast } from '../distinctTimes';
import type { RiskSets } from '../riskSets';
import { indexesByGroup, subset } from '../subset';
import { followUpWeight } from './followUpWeight';

/**
 * Procedures with a competing event, at T, stay in the risk sets of their stratum at t > T, with weight Ĝ(t−)Ĥ(t−)/(Ĝ(T−)Ĥ(T−)) from the
 * follow-up of their censoring group: `group` has an entry per cell. Null: nobody was under follow-up just before some of them.
 */
export function competingMembers(cells: Cells, sets: RiskSets, group: Int32Array): Lingering | null {
  const { place, time: groups } = distinctTimes(Float64Array.from(group));
  const weightOf = indexesByGroup(place, groups.length).map((indexes) => followUpWeight(subset(cells, indexes)));
  const end = lastSets(sets);
  const from = (i: number): number => sets.last[i]! + 1;
  const cell = Int32Array.from(cells.event.keys()).filter((i) => cells.event[i]! > 1 && inStratum(i)).sort((a, b) => from(a) - from(b));
  const share = Float64Array.from(cell, (i) => 1 / weightOf[place[i]!]!(cells.exit[i]!));
  if (share.some((s) => s === Infinity)) return null;
  return {
    cell,
    from: Int32Array.from(cell, from),
    to: Int32Array.from(cell, (i) => end[from(i)]!),
    share,
    group: Int32Array.from(cell, (i) => place[i]!),
    remaining: weightOf.map((weight) => sets.time.map(weight)),
  };
}
