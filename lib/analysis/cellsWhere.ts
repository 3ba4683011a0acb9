import { subset, taken } from '../stats/subset';
import type { CohortCells } from './cohortCells';

/** The cells of the patterns that are kept; patterns keep their numbers. */
export function cellsWhere(cohort: CohortCells, keep: (pattern: number) => boolean): CohortCells {
  const { cells, group, pattern, groupOfPattern } = cohort;
  const keeps = groupOfPattern.map((_, p) => (keep(p) ? 1 : 0));
  if (!keeps.includes(0)) return cohort;
  const indexes = new Int32Array(pattern.length);
  let kept = 0;
  for (let i = 0; i < pattern.length; ++i) if (keeps[pattern[i]!] === 1) indexes[kept++] = i;
  const at = indexes.subarray(0, kept);
  return { ...cohort, cells: subset(cells, at), group: taken(group, at, new Int32Array(kept)), pattern: taken(pattern, at, new Int32Array(kept)) };
}
