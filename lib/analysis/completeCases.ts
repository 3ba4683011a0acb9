import type { Covariate } from '../contract/question';
import type { CovariateCoding } from '../cohort/covariate';
import { cellsWhere } from './cellsWhere';
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
  const { cells, pattern } = cohort;
  const leftOut = adjustments.map(({ coding, codes }) => ({
    covariate: coding.label,
    missing: pattern.reduce((sum, p, i) => (codes[p]! < 0 ? sum + cells.count[i]! : sum), 0),
  }));
  return {
    cohort: cellsWhere(cohort, (p) => adjustments.every(({ codes }) => codes[p]! >= 0)),
    leftOut: leftOut.filter(({ missing }) => missing > 0),
  };
}
