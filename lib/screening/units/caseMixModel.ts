import { coarserPatterns } from '../../analysis/coarserPatterns';
import type { CohortCells } from '../../analysis/cohortCells';
import type { Adjustment } from '../../analysis/completeCases';
import { continuousTerm, designMatrix, factorTerm, type FactorLevel, type Term } from '../../analysis/designMatrix';
import { levelCounts } from '../../analysis/levelCounts';
import type { CovariateCoding } from '../../cohort/covariate';
import type { Covariate } from '../../contract/question';
import type { Cells, Design } from '../../stats/cells';

/** A covariate with the levels that the procedures have, and the commonest of them as reference. */
export interface CaseMixTerm {
  readonly covariate: Covariate;
  readonly coding: CovariateCoding;
  readonly levels: readonly FactorLevel[];
  readonly reference: number;
}

/** Found once, so that all that is held against one reference has the columns of its model. */
export const caseMixTerms = (complete: CohortCells, adjustments: readonly Adjustment[]): readonly CaseMixTerm[] =>
  adjustments.map(({ covariate, coding, codes }) => {
    const counts = levelCounts(complete, codes);
    const levels = [...counts.keys()].sort((a, b) => a - b).map((code) => ({ code, level: coding.level(code).key, name: coding.level(code).label }));
    const reference = levels.reduce((most, { code }) => (counts.get(code)!.procedures > (counts.get(most)?.procedures ?? 0) ? code : most), -1);
    return { covariate, coding, levels, reference };
  });

/** Cells of complete cases with the design of their case mix; `unit` and `fine` (the pattern that further factors know) are per cell. */
export interface AdjustedCells {
  readonly cells: Cells;
  readonly unit: Int32Array;
  readonly fine: Int32Array;
  readonly design: Design;
}

export function adjustedCells(complete: CohortCells, adjustments: readonly Adjustment[], terms: readonly CaseMixTerm[]): AdjustedCells {
  const oneGroup = { ...complete, groupOfPattern: complete.groupOfPattern.map(() => 0) };
  const { cohort, adjustments: coded } = coarserPatterns({ cohort: oneGroup, adjustments, strata: [] });
  const design = caseMixDesign(terms, coded.map(({ codes }) => codes), cohort.groupOfPattern.length);
  return { cells: complete.cells, unit: complete.group, fine: complete.pattern, design: { ...design, pattern: cohort.pattern } };
}

/** The design of these terms, a pattern for each combination of codes. */
export const caseMixDesign = (terms: readonly CaseMixTerm[], codes: readonly Int32Array[], combinations: number): Design =>
  designMatrix(terms.map((term, f) => termOf(term, codes[f]!)), Int32Array.from({ length: combinations }, (_, c) => c), combinations);

function termOf({ covariate, coding: { label, value }, levels, reference }: CaseMixTerm, codes: Int32Array): Term {
  return value === undefined ? factorTerm(covariate, codes, levels, reference) : continuousTerm(covariate, label, (pattern) => value(codes[pattern]!));
}
