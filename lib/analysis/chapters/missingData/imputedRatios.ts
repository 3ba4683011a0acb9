import type { Question } from '../../../contract/question';
import type { NotEstimable } from '../../../stats/cells';
import { cox, type CoxFit } from '../../../stats/cox/cox';
import { hazardRatios } from '../../../stats/cox/hazardRatios';
import { robustCovariance } from '../../../stats/cox/robust';
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
  const fits: CoxFit[] = [], covariances: Float64Array[] = [];
  let withoutClusters: NotEstimable | null = null; // of a fit, and then of all
  let first: Model | null = null;
  for (const [k, cohort] of cohorts.entries()) {
    await step(`Comparing with values filled in: ${k + 1} of ${cohorts.length}`, 0.5 + (0.5 * k) / cohorts.length);
    const fitted = askedModel(coarserPatterns(cohort));
    if (fitted.status !== 'ok') return fitted;
    const model = merged(fitted.model), fit = cox(model.cohort.cells, model.design);
    if (fit.status !== 'ok') return fit;
    const robust = model.cohort.cells.cluster ? robustCovariance(fit) : null;
    fits.push(fit);
    if (robust?.status === 'ok') covariances.push(robust.covariance);
    else withoutClusters = robust;
    first ??= model;
  }
  const pooled = poolHazardRatios(fits, { confidence: question.confidence, ...(covariances.length === fits.length && { covariances }) }), { cohort, terms: [group] } = first!;
  const own = pooled.slice(0, group!.columns.length), single = againstReference(group!, hazardRatios(fits[0]!), 0, cohort); // says what has no estimate
  return {
    status: 'ok',
    ...options,
    procedures: fits[0]!.procedures,
    events: fits[0]!.events,
    ratios: sayingOwnLimits(own.map((ratio, j) => ('value' in single[j]!.estimate ? hazardRatioOf(group!, j, ratio, patternCounts(cohort)) : single[j]!)), withoutClusters),
    missingInformation: own.map((ratio, j) => (ratio.status === 'ok' && 'value' in single[j]!.estimate ? ratio.fractionMissing : NaN)),
  };
}
