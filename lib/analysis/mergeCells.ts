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
  if (cells.cluster && areClusters(cells.cluster)) return { cells: { ...cells, event: ofInterest(cells.event) }, group, pattern: newPattern, groupOfPattern: newGroups }; // none would be joined
  const joined = joinedCells(cells, newPattern);
  return { cells: joined.cells, group: taken(group, joined.first, new Int32Array(joined.first.length)), pattern: joined.pattern, groupOfPattern: newGroups };
}

function areClusters(cluster: Int32Array): boolean {
  for (let i = 0; i < cluster.length; ++i) if (cluster[i]! < 0) return false;
  return true;
}

function ofInterest(event: Uint8Array): Uint8Array {
  const had = new Uint8Array(event.length);
  for (let i = 0; i < event.length; ++i) if (event[i] === 1) had[i] = 1;
  return had;
}
