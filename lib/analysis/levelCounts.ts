import type { CohortCells } from './cohortCells';
import type { Column } from './designMatrix';

export interface LevelCount { readonly procedures: number; readonly events: number }

interface PatternCounts { readonly procedures: Float64Array; readonly events: Float64Array }
const known = new WeakMap<CohortCells, PatternCounts>();

/** Procedures and events of interest per pattern; counted once for each cohort. */
export function patternCounts(cohort: CohortCells): PatternCounts {
  const before = known.get(cohort);
  if (before) return before;
  const { cells: { count, event }, pattern, groupOfPattern } = cohort, procedures = new Float64Array(groupOfPattern.length), events = new Float64Array(groupOfPattern.length);
  for (let i = 0; i < pattern.length; ++i) {
    procedures[pattern[i]!]! += count[i]!;
    if (event[i] === 1) events[pattern[i]!]! += count[i]!;
  }
  known.set(cohort, { procedures, events });
  return { procedures, events };
}

/** Procedures and events of interest by a code that each pattern has; codes without procedures are left out. */
export function levelCounts(cohort: CohortCells, codeOfPattern: Int32Array): ReadonlyMap<number, LevelCount> {
  const { procedures, events } = patternCounts(cohort);
  const counts = new Map<number, LevelCount>();
  codeOfPattern.forEach((code, p) => {
    const sum = counts.get(code) ?? { procedures: 0, events: 0 };
    if (procedures[p]! > 0) counts.set(code, { procedures: sum.procedures + procedures[p]!, events: sum.events + events[p]! });
  });
  return counts;
}

/** Those of the level that a column stands for; of all, for a continuous covariate. */
export function columnCounts(cohort: CohortCells, { level, valueOf }: Column): LevelCount {
  const own = cohort.groupOfPattern.map((_, pattern) => (level === null || valueOf(pattern) === 1 ? 1 : 0));
  return levelCounts(cohort, own).get(1) ?? { procedures: 0, events: 0 };
}

/** The cells as they count between two days: at risk at some time in (from, to], with the events in it. `from` 0 includes day 0. */
export function withinPeriod(cohort: CohortCells, from: number, to: number): CohortCells {
  const { cells: { exit, entry, count, event } } = cohort, size = exit.length, within = new Float64Array(size), had = new Uint8Array(size);
  for (let i = 0; i < size; ++i) {
    if ((from === 0 || exit[i]! > from) && !(entry !== undefined && entry[i]! >= to)) within[i] = count[i]!;
    if (exit[i]! <= to) had[i] = event[i]!;
  }
  return { ...cohort, cells: { ...cohort.cells, count: within, event: had } };
}
