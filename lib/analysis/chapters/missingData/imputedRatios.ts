import type { Question } from '../../../contract/question';
import type { NotEstimable } from '../../../stats/cells';
import { cox, type CoxFit } from '../../../stats/cox/cox';
import { hazardRatios } from '../../../stats/cox/hazardRatios';
import { robustCovariance, type RobustCovariance } from '../../../stats/cox/robust';
import { poolHazardRatios } from '../../../stats/imputation/poolHazardRatios';
import { againstReference } from '../../againstReference';
import type { AskedCohort } from '../../askedCohort';
import { askedModel, merged } from '../../askedModel';
import { sayingOwnLimits } from '../../clusterNotes';
import { coarserPatterns } from '../../coarserPatterns';
import { hazardRatioOf } from '../../hazardRatio';
import { patternCounts } from '../../levelCounts';
import type { Model } from '../../model';
import type { Step } from '../../step';
import type { ImputedRatios } from '../missingDataResult';
import { imputedCohorts, type Imputation } from './imputedCohorts';

/** The adjusted ratios from every procedure, what is not recorded filled in several times. */
export async function imputedRatios(asked: AskedCohort, question: Question, options: Imputation, step: Step): Promise<ImputedRatios | NotEstimable> {
  const cohorts = await imputedCohorts(asked, question, options);
  if ('status' in cohorts) return cohorts;
  const fits: CoxFit[] = [], robust: (RobustCovariance | NotEstimable)[] = []; // where there are clusters, one for each fit
  let first: Model | null = null;
  for (const [k, cohort] of cohorts.entries()) {
    await step(`Comparing with values filled in: ${k + 1} of ${cohorts.length}`, 0.5 + (0.5 * k) / cohorts.length);
    const fitted = askedModel(coarserPatterns(cohort));
    if (fitted.status !== 'ok') return fitted;
    const model = merged(fitted.model), fit = cox(model.cohort.cells, model.design);
    if (fit.status !== 'ok') return fit;
    fits.push(fit);
    if (model.cohort.cells.cluster) robust.push(robustCovariance(fit));
    first ??= model;
  }
  const lacking = robust.find(({ status }) => status !== 'ok') ?? null; // in one fit: then all have the model's own limits
  const covariances = robust.flatMap((over) => (over.status === 'ok' ? [over.covariance] : []));
  const pooled = poolHazardRatios(fits, { confidence: question.confidence, ...(covariances.length === fits.length && { covariances }) }), { cohort, terms: [group] } = first!;
  const own = pooled.slice(0, group!.columns.length), single = againstReference(group!, hazardRatios(fits[0]!), 0, cohort); // says what has no estimate
  return {
    status: 'ok',
    ...options,
    procedures: fits[0]!.procedures,
    events: fits[0]!.events,
    ratios: sayingOwnLimits(own.map((ratio, j) => ('value' in single[j]!.estimate ? hazardRatioOf(group!, j, ratio, patternCounts(cohort)) : single[j]!)), lacking),
    missingInformation: own.map((ratio, j) => (ratio.status === 'ok' && 'value' in single[j]!.estimate ? ratio.fractionMissing : NaN)),
  };
}
