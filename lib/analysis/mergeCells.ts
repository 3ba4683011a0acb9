import { joinedCells } from '../stats/cox/joinedCells';
import { taken } from '../stats/subset';
import type { CohortCells } from './cohortCells';

/**
 * The cohort with coarser patterns, `coarser` being the new one of each pattern, and with cells joined that a model of the event of
 * interest cannot tell apart: competing events end follow-up as censorings do. Cells with late entry or a cluster stay as they are.
 * The group is to be the same within a new pattern.
 */
export function mergeCells({ cells, group, pattern, groupOfPattern }: CohortCells, coarser: Int32Array): CohortCells {
  const newPattern = taken(coarser, pattern, new Int32Array(pattern.length)), newGroups = new Int32Array(coarser.reduce((most, p) => Math.max(most, p + 1), 0));
  coarser.forEach((p, old) => { newGroups[p] = groupOfPattern[old]!; });
  if (cells.cluster?.every((cluster) => cluster >= 0)) { // no cell would be joined to another
    return { cells: { ...cells, event: cells.event.map((event) => (event === 1 ? 1 : 0)) }, group, pattern: newPattern, groupOfPattern: newGroups };
  }
  const joined = joinedCells(cells, newPattern, 'apart');
  return { cells: joined.cells, group: taken(group, joined.first, new Int32Array(joined.first.length)), pattern: joined.pattern, groupOfPattern: newGroups };
}
