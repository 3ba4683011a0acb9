import type { Question } from '../../../contract/question';
import type { NotEstimable } from '../../../stats/cells';
import type { AskedCohort } from '../../askedCohort';
import { askedModel, merged } from '../../askedModel';
import { nowhereRecorded } from '../../completeCases';
import { groupRatios } from '../../groupRatios';
import type { Step } from '../../step';
import { basisOf, limits } from '../basis';
import type { MissingData, MissingDataRatios } from '../missingDataResult';
import { compared } from './compared';
import { imputedRatios } from './imputedRatios';
import { missingCounts } from './missingCounts';

const imputation = { imputations: 20, seed: 1 };

/** What is not recorded of the covariates, and what becomes of the adjusted ratios when it is filled in. */
export async function missingData(asked: AskedCohort, question: Question, step: Step): Promise<MissingData> {
  await step('Counting what is not recorded', 0.1);
  const { groups, covariates } = missingCounts(asked), model = askedModel(asked);
  const completeCase = completeCaseRatios(asked, question);
  await step('Filling in what is not recorded', 0.2);
  const reason = asked.groups.length < 2 ? 'there is only one group'
    : groups.every(({ procedures, complete }) => procedures === complete) ? 'every covariate that is adjusted for is recorded for everyone'
    : nowhereRecorded(asked.cohort, asked.adjustments);
  const imputed = reason === null ? await imputedRatios(asked, question, imputation, step) : { status: 'notEstimable' as const, reason };
  return {
    status: 'ok',
    ...basisOf(asked, methods(question, asked), notes),
    reference: asked.reference,
    adjustedFor: model.status === 'ok' ? model.adjustedFor : [],
    groups,
    covariates,
    completeCase,
    imputed,
    comparison: completeCase.status === 'ok' && imputed.status === 'ok' ? completeCase.ratios.map((ratio, j) => compared(ratio, imputed.ratios[j]!)) : [],
  };
}

function completeCaseRatios(asked: AskedCohort, question: Question): MissingDataRatios | NotEstimable {
  const fitted = askedModel(asked);
  if (fitted.status !== 'ok') return fitted;
  const ratios = groupRatios(merged(fitted.model), question);
  return ratios.status === 'ok' ? { status: 'ok', procedures: ratios.procedures, events: ratios.events, ratios: ratios.ratios } : ratios;
}

const methods = ({ confidence }: Question, { clusters: cluster }: AskedCohort): readonly string[] => [
  `Hazard ratios: Cox 1972, ties as in Efron 1977; ${limits(confidence)}${cluster === 'none' ? ' of the model' : ` robust over each ${cluster} (Lin and Wei 1989)`}`,
  `Multiple imputation: chained equations (White, Royston and Wood 2011), ${imputation.imputations} times, seed ${imputation.seed}; from the groups, the covariates, age, sex, indication, class and period, whether and when revision or death came (White and Royston 2009); proportional odds for ordered levels, multinomial for others; pooled by Rubin’s rules (Rubin 1987; Barnard and Rubin 1999)`,
  'The two answers are said to differ where the ratios are more than 10 % apart, or only one has limits that leave out 1: common practice, no source',
];

const notes = [
  'Complete cases mislead where those with a covariate recorded differ from the others. Imputation helps if, given all else that is recorded, whether a value was recorded does not depend on the value; data cannot tell.',
];
