import type { Question } from '../contract/question';
import type { NotEstimable } from '../stats/cells';
import { standardisation, type Standardisation } from '../stats/standardised/standardisation';
import { askedModel, merged, type AskedModel, type CohortToModel } from './askedModel';
import { designMatrix } from './designMatrix';
import { groupSurvival, type GroupSurvival } from './groupSurvival';

/** The groups as they would be with the case mix of all complete cases, by the adjustment of the question. */
export interface StandardisedCohort extends Pick<AskedModel, 'adjustedFor' | 'leftOut' | 'procedures'> {
  readonly status: 'ok';
  readonly standardisation: Standardisation; // groups in the order of the question's
  /** Of the same procedures, as they are; standardised curves stop where these do. */
  readonly crude: readonly GroupSurvival[];
}

export function standardisedCohort(asked: CohortToModel, question: Question): StandardisedCohort | NotEstimable {
  if (asked.adjustments.length + asked.strata.length === 0) return { status: 'notEstimable', reason: 'nothing is adjusted for' };
  const fitted = askedModel(asked);
  if (fitted.status !== 'ok') return fitted;
  const { adjustedFor, leftOut, procedures } = fitted;
  const { cohort: { cells, group, pattern, groupOfPattern }, terms } = merged(fitted.model);
  const covariates = designMatrix(terms.slice(1), pattern, groupOfPattern.length);
  const result = standardisation(cells, covariates, group, asked.groups.map(({ label }) => label));
  if (result.status !== 'ok') return result;
  return {
    status: 'ok', adjustedFor, leftOut, procedures,
    standardisation: result,
    crude: groupSurvival(cells, group, asked.groups.map(({ key }) => key), question),
  };
}
