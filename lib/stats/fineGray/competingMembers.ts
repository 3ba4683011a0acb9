import type { Cells } from '../cells';
import type { Lingering } from '../cox/lingering';
import { distinctTimes } from '../distinctTimes';
import type { RiskSets } from '../riskSets';
import { indexesByGroup, subset } from '../subset';
import { followUpWeight } from './followUpWeight';

/**
 * Procedures with a competing event, at T, stay in the risk sets of their stratum at t > T, with weight Ĝ(t−)Ĥ(t−)/(Ĝ(T−)Ĥ(T−)) from the
 * follow-up of their `group` (an entry per cell). Null: before one of them, no group member's follow-up reached on from the start.
 */
export function competingMembers(cells: Cells, sets: RiskSets, group: Int32Array): Lingering | null {
  const groups = distinctTimes(Float64Array.from(group));
  const weights = indexesByGroup(groups.place, groups.time.length).map((indexes) => followUpWeight(subset(cells, indexes)));
  const from = (i: number): number => sets.last[i]! + 1;
  const competes = (i: number): boolean => cells.event[i]! > 1 && sets.stratum[from(i)] === (cells.stratum?.[i] ?? 0);
  const cell = Int32Array.from(cells.event.keys()).filter(competes).sort((a, b) => from(a) - from(b));
  const share = Float64Array.from(cell, (i) => 1 / weights[groups.place[i]!]!(cells.exit[i]!));
  if (share.includes(Infinity)) return null;
  const end = new Int32Array(sets.time.length); // last set of the stratum of each
  for (let k = end.length - 1; k >= 0; --k) end[k] = sets.stratum[k] === sets.stratum[k + 1] ? end[k + 1]! : k;
  return {
    cell,
    from: Int32Array.from(cell, from),
    to: Int32Array.from(cell, (i) => end[from(i)]!),
    share,
    group: Int32Array.from(cell, (i) => groups.place[i]!),
    remaining: weights.map((weight) => sets.time.map(weight)),
  };
}
