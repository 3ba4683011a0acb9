import { subset, taken } from '../stats/subset';
import type { CohortCells } from './cohortCells';

const mostPlaces = 2 ** 23; // beyond, looking cells up costs more than it saves

/**
 * The cohort with coarser patterns, `coarser` being the new one of each pattern, and with cells joined that a model of the event of
 * interest cannot tell apart: competing events end follow-up as censorings do. Cells with late entry or a cluster stay as they are.
 * The group is to be the same within a new pattern.
 */
export function mergeCells({ cells, group, pattern, groupOfPattern }: CohortCells, coarser: Int32Array): CohortCells {
  const patterns = coarser.reduce((most, p) => Math.max(most, p + 1), 0);
  const days = cells.exit.reduce((most, exit) => Math.max(most, exit + 1), 0);
  const places = patterns * days * 2;
  const placeOf = (i: number) => (coarser[pattern[i]!]! * days + cells.exit[i]!) * 2 + (cells.event[i] === 1 ? 1 : 0);
  const joins = (i: number) => places <= mostPlaces && (cells.cluster?.[i] ?? -1) < 0 && (cells.entry?.[i] ?? -Infinity) < 0;

  const firstAt = new Int32Array(places <= mostPlaces ? places : 0).fill(-1);
  const kept: number[] = [];
  const count = cells.count.slice();
  for (let i = 0; i < pattern.length; ++i) {
    const first = joins(i) ? firstAt[placeOf(i)]! : -1;
    if (first >= 0) count[first]! += count[i]!;
    else {
      kept.push(i);
      if (joins(i)) firstAt[placeOf(i)] = i;
    }
  }
  const indexes = Int32Array.from(kept);
  const newGroups = new Int32Array(patterns);
  coarser.forEach((p, old) => { newGroups[p] = groupOfPattern[old]!; });
  return {
    cells: subset({ ...cells, count, event: cells.event.map((event) => (event === 1 ? 1 : 0)) }, indexes),
    group: taken(group, indexes, new Int32Array(kept.length)),
    pattern: taken(pattern, indexes, new Int32Array(kept.length)).map((p) => coarser[p]!),
    groupOfPattern: newGroups,
  };
}
