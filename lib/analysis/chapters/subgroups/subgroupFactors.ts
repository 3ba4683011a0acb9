import { codings } from '../../../cohort/covariate';
import type { Question } from '../../../contract/question';
import type { AskedCohort } from '../../askedCohort';
import type { Adjustment } from '../../completeCases';
import { levelCounts } from '../../levelCounts';
import { widerCohort } from '../../widerCohort';
import type { SubgroupFactor } from '../subgroupsResult';

const factors = ['age', 'sex', 'indication', 'class'] as const satisfies readonly SubgroupFactor['factor'][];

export interface DividedCohort {
  readonly asked: AskedCohort;
  readonly by: readonly (Adjustment & { readonly covariate: SubgroupFactor['factor'] })[];
}

/** The cohort with the factors that divide it into subgroups: those with several levels, other than the one that is compared. */
export async function subgroupFactors(cohort: AskedCohort, question: Question): Promise<DividedCohort> {
  const possible = factors.filter((factor) => factor !== question.compare);
  const { asked, codes } = await widerCohort(cohort, question, possible.map((factor) => codings[factor]));
  const by = possible.map((covariate, f) => ({ covariate, coding: codings[covariate], codes: codes[f]! }));
  return { asked, by: by.filter((factor) => [...levelCounts(asked.cohort, factor.codes).keys()].filter((code) => code >= 0).length > 1) };
}
