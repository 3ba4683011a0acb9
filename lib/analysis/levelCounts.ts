import type { CohortCells } from './cohortCells';
import type { Column } from './designMatrix';

export interface LevelCount { readonly procedures: number; readonly events: number }

export interface PatternCounts { readonly procedures: Float64Array; readonly events: Float64Array }
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
export function columnCounts({ procedures, events }: PatternCounts, { level, valueOf }: Column): LevelCount {
  const sum = { procedures: 0, events: 0 };
  for (let p = 0; p < procedures.length; ++p) {
    if (level !== null && valueOf(p) !== 1) continue;
    sum.procedures += procedures[p]!;
    sum.events += events[p]!;
  }
  return sum;
}

/** Per pattern what counts between two days: at risk at some time in (from, to], with the events in it. `from` 0 includes day 0. */
export function countsWithin({ cells: { exit, entry, count, event }, pattern, groupOfPattern }: CohortCells, from: number, to: number): PatternCounts {
  const procedures = new Float64Array(groupOfPattern.length), events = new Float64Array(groupOfPattern.length);
  for (let i = 0; i < exit.length; ++i) {
    if ((from > 0 && exit[i]! <= from) || (entry !== undefined && entry[i]! >= to)) continue;
    procedures[pattern[i]!]! += count[i]!;
    if (event[i] === 1 && exit[i]! <= to) events[pattern[i]!]! += count[i]!;
  }
  return { procedures, events };
}
