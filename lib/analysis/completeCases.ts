import type { Covariate } from '../contract/question';
import type { CovariateCoding } from '../cohort/covariate';
import { subset } from '../stats/subset';
import type { CohortCells } from './cohortCells';
import type { CoxResult } from './result';

/** A covariate of the adjusted model: how it is coded, and its code per pattern (-1: not recorded). */
export interface Adjustment {
  readonly covariate: Covariate;
  readonly coding: CovariateCoding;
  readonly codes: Int32Array;
}

/** The cells in which every covariate is recorded. `missing` counts procedures per covariate: one may lack several. */
export function completeCases(cohort: CohortCells, adjustments: readonly Adjustment[]): { cohort: CohortCells; leftOut: CoxResult['leftOut'] } {
  const { cells, group, pattern } = cohort;
  const leftOut = adjustments.map(({ coding, codes }) => ({
    covariate: coding.label,
    missing: pattern.reduce((sum, p, i) => (codes[p]! < 0 ? sum + cells.count[i]! : sum), 0),
  }));
  const complete = Int32Array.from(pattern.keys()).filter((i) => adjustments.every(({ codes }) => codes[pattern[i]!]! >= 0));
  return {
    cohort: {
      ...cohort,
      cells: subset(cells, complete),
      group: Int32Array.from(complete, (i) => group[i]!),
      pattern: Int32Array.from(complete, (i) => pattern[i]!),
    },
    leftOut: leftOut.filter(({ missing }) => missing > 0),
  };
}
