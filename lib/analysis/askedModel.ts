import type { NotEstimable } from '../stats/cells';
import type { AskedCohort } from './askedCohort';
import { completeCases, nowhereRecorded } from './completeCases';
import { patternCounts } from './levelCounts';
import { mergeCells } from './mergeCells';
import { modelOf, type Model } from './model';
import type { CoxResult } from './result';
import { stratified } from './strata';

/** The model of the groups against the reference with the adjustment of the question, over its complete cases. */
export interface AskedModel extends Pick<CoxResult, 'adjustedFor' | 'leftOut' | 'procedures'> {
  readonly status: 'ok';
  readonly model: Model; // competing events keep their codes
}

/** What a model of the groups needs to know. */
export type CohortToModel = Pick<AskedCohort, 'groups' | 'reference' | 'adjustments' | 'strata' | 'cohort'>;

export function askedModel({ groups, reference, adjustments, strata, cohort }: CohortToModel): AskedModel | NotEstimable {
  if (groups.length < 2) return { status: 'notEstimable', reason: 'there is only one group' };
  const missing = nowhereRecorded(cohort, adjustments);
  if (missing !== null) return { status: 'notEstimable', reason: missing };
  const { cohort: complete, leftOut } = completeCases(cohort, adjustments);
  if (!complete.group.includes(groups.findIndex((group) => group.key === reference))) {
    return { status: 'notEstimable', reason: 'no procedure of the reference group has every covariate recorded' };
  }
  return {
    status: 'ok',
    model: modelOf(stratified(complete, strata.map((s) => s.codes)), groups, reference, adjustments),
    adjustedFor: [...adjustments.map((a) => a.coding.label), ...strata.map((s) => `${s.label} (stratified)`)],
    leftOut,
    procedures: patternCounts(complete).procedures.reduce((sum, n) => sum + n, 0),
  };
}

/** The same model with fewer cells, where competing events need not be told from the end of follow-up. */
export function merged(model: Model): Model {
  if (model.cohort.competing === 'together') return model;
  const cohort = mergeCells(model.cohort, Int32Array.from(model.cohort.groupOfPattern.keys()));
  return { ...model, cohort, design: { ...model.design, pattern: cohort.pattern } };
}
