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

/** Why nothing can be adjusted for; null where each covariate is recorded for someone. */
export function nowhereRecorded({ cells, pattern }: CohortCells, adjustments: readonly Adjustment[]): string | null {
  const labels = adjustments.filter(({ codes }) => pattern.every((p, i) => codes[p]! < 0 || cells.count[i] === 0)).map(({ coding }) => coding.label);
  return labels.length === 0 ? null : `not recorded for any procedure of the cohort: ${labels.join(', ')}`;
}

/** The cells in which every covariate is recorded, or all of them where one is nowhere recorded and nothing can be adjusted for it. */
export const completeWherePossible = (cohort: CohortCells, adjustments: readonly Adjustment[]): CohortCells =>
  (nowhereRecorded(cohort, adjustments) === null ? completeCases(cohort, adjustments).cohort : cohort);

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
