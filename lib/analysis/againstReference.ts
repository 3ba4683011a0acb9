import type { NotEstimable } from '../stats/cells';
import type { hazardRatios } from '../stats/cox/hazardRatios';
import type { CohortCells } from './cohortCells';
import { hazardRatioOf } from './hazardRatio';
import { patternCounts } from './levelCounts';
import type { ModelTerm } from './model';
import type { HazardRatio } from './result';

type Ratios = ReturnType<typeof hazardRatios>;

/**
 * The ratios of one term, whose columns begin at `first` in the design. Where a column is left out because others of the term determine
 * it, as when the reference is never at risk beside them within a stratum, those would compare with it in the reference's place: they
 * are not estimable either.
 */
export function againstReference(term: ModelTerm, ratios: Ratios, first: number, cohort: CohortCells): readonly HazardRatio[] {
  const own = ratios.slice(first, first + term.columns.length), counts = patternCounts(cohort);
  const bound = new Set(own.flatMap((ratio) => (ratio.status === 'notEstimable' && ratio.cause === 'collinear' ? ratio.others : [])));
  return own.map((ratio, j) => hazardRatioOf(term, j, ratio.status === 'ok' && bound.has(first + j) ? withoutReference : ratio, counts));
}

const withoutReference: NotEstimable = {
  status: 'notEstimable', reason: 'no procedures of the reference were at risk beside these when any of them was revised',
};
