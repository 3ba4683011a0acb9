import { subset, taken } from '../stats/subset';
import type { CohortCells } from './cohortCells';

/** The cells of the patterns that are kept; patterns keep their numbers. */
export function cellsWhere(cohort: CohortCells, keep: (pattern: number) => boolean): CohortCells {
  const { pattern, groupOfPattern } = cohort;
  const keeps = groupOfPattern.map((_, p) => (keep(p) ? 1 : 0));
  if (!keeps.includes(0)) return cohort;
  const indexes = new Int32Array(pattern.length);
  let kept = 0;
  for (let i = 0; i < pattern.length; ++i) if (keeps[pattern[i]!] === 1) indexes[kept++] = i;
  return cellsAt(cohort, indexes.subarray(0, kept));
}

/** The cells at `indexes`, in that order; patterns keep their numbers. */
export function cellsAt({ cells, group, pattern, ...cohort }: CohortCells, indexes: Int32Array): CohortCells {
  const at = (values: Int32Array): Int32Array => taken(values, indexes, new Int32Array(indexes.length));
  return { ...cohort, cells: subset(cells, indexes), group: at(group), pattern: at(pattern) };
}
