import type { Covariate } from '../contract/question';
import type { CovariateCoding } from '../cohort/covariate';
import { cellsWhere } from './cellsWhere';
import type { CohortCells } from './cohortCells';
import { patternCounts } from './levelCounts';
import type { CoxResult } from './result';

/** A covariate of the adjusted model: how it is coded, and its code per pattern (-1: not recorded). */
export interface Adjustment {
  readonly covariate: Covariate;
  readonly coding: CovariateCoding;
  readonly codes: Int32Array;
}

/** Why nothing can be adjusted for; null where each covariate is recorded for someone. */
export function nowhereRecorded(cohort: CohortCells, adjustments: readonly Adjustment[]): string | null {
  const { procedures } = patternCounts(cohort);
  const labels = adjustments.filter(({ codes }) => procedures.every((n, p) => codes[p]! < 0 || n === 0)).map(({ coding }) => coding.label);
  return labels.length === 0 ? null : `not recorded for any procedure of the cohort: ${labels.join(', ')}`;
}

/** The cells in which every covariate is recorded, or all of them where one is nowhere recorded and nothing can be adjusted for it. */
export const completeWherePossible = (cohort: CohortCells, adjustments: readonly Adjustment[]): CohortCells =>
  (nowhereRecorded(cohort, adjustments) === null ? completeCases(cohort, adjustments).cohort : cohort);

/** The cells in which every covariate is recorded. `missing` counts procedures per covariate: one may lack several. */
export function completeCases(cohort: CohortCells, adjustments: readonly Adjustment[]): { cohort: CohortCells; leftOut: CoxResult['leftOut'] } {
  const { procedures } = patternCounts(cohort);
  const leftOut = adjustments.map(({ coding, codes }) => ({
    covariate: coding.label,
    missing: procedures.reduce((sum, n, p) => (codes[p]! < 0 ? sum + n : sum), 0),
  }));
  return {
    cohort: cellsWhere(cohort, (p) => adjustments.every(({ codes }) => codes[p]! >= 0)),
    leftOut: leftOut.filter(({ missing }) => missing > 0),
  };
}
