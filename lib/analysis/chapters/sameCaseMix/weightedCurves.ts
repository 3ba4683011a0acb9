import { codings } from '../../../cohort/covariate';
import { daysOfYears } from '../../../cohort/days';
import type { Question } from '../../../contract/question';
import type { NotEstimable } from '../../../stats/cells';
import { hazardRatios } from '../../../stats/cox/hazardRatios';
import { firstAtLeast } from '../../../stats/distinctTimes';
import { stopOf } from '../../../stats/stopRule';
import { indexesByGroup, subset, taken } from '../../../stats/subset';
import { propensityWeights } from '../../../stats/weighting/propensityWeights';
import { weightedCox } from '../../../stats/weighting/weightedCox';
import { weightedKaplanMeier } from '../../../stats/weighting/weightedKaplanMeier';
import type { AskedCohort } from '../../askedCohort';
import { askedModel, merged } from '../../askedModel';
import { atTime } from '../../atTime';
import { curveOf } from '../../curve';
import { designMatrix } from '../../designMatrix';
import type { GroupSurvival } from '../../groupSurvival';
import { hazardRatioOf } from '../../hazardRatio';
import { patternCounts } from '../../levelCounts';
import { contrastsOf } from '../contrasts';
import type { Model } from '../../model';
import type { WeightedCurves } from '../sameCaseMixResult';
import { balanceRows } from './balanceRows';
import { caseMixContrasts } from './caseMixContrasts';

/** Groups weighted to the case mix of all. What the question stratifies by is balanced as covariates are, where it has levels of its own. */
export function weightedCurves(cohort: AskedCohort, question: Question): WeightedCurves | NotEstimable {
  const asked = balancing(cohort, question);
  if (asked.adjustments.length === 0) return { status: 'notEstimable', reason: 'nothing is adjusted for that weights could balance' };
  const fitted = askedModel(asked);
  if (fitted.status !== 'ok') return fitted;
  const model = merged(fitted.model), { cohort: { cells, group, pattern, groupOfPattern }, terms } = model;
  const covariates = designMatrix(terms.slice(1), pattern, groupOfPattern.length);
  const weights = propensityWeights(covariates, cells.count, group, asked.groups.map(({ label }) => label));
  if (weights.status !== 'ok') return weights;
  const survival = indexesByGroup(group, asked.groups.length).map((indexes, g): GroupSurvival => {
    const km = weightedKaplanMeier(subset(cells, indexes), taken(weights.weight, indexes, new Float64Array(indexes.length)));
    return { group: asked.groups[g]!.key, km, stop: stopOf(km, { largestStep: question.largestStep, minAtRisk: 0 }) };
  });
  return {
    status: 'ok',
    curves: survival.map((own) => curveOf(own, question)),
    atTimes: question.atYears.flatMap((years) => survival.map((own) => ({ ...atTime(own, years, question), atRisk: effectiveAt(own, daysOfYears(years)) }))),
    contrasts: caseMixContrasts(contrastsOf(asked, survival, { status: 'notEstimable', reason: 'not asked for' }, question), 'unadjusted'),
    weights: weights.groups.map(({ procedures, effectiveSize, largest, extremePercent }, g) => (
      { group: asked.groups[g]!.key, label: asked.groups[g]!.label, procedures, effectiveSize, largest, extremePercent }
    )),
    balance: balanceRows(model.cohort, asked.adjustments, weights.weight, asked.groups.length),
    ratios: weightedRatios(model, weights.weight, question),
  };
}

/** Just before a time. */
const effectiveAt = ({ km: { table } }: GroupSurvival, time: number): number => table.atRisk[firstAtLeast(table.time, time)] ?? 0;

function weightedRatios({ cohort, terms }: Model, weight: Float64Array, { confidence }: Question): WeightedCurves['ratios'] {
  const group = terms[0]!, fit = weightedCox(cohort.cells, weight, designMatrix([group], cohort.pattern, cohort.groupOfPattern.length));
  if (fit.status !== 'ok') return fit;
  const ratios = hazardRatios(fit.fit, { confidence, covariance: fit.covariance });
  return group.columns.map((_, j) => hazardRatioOf(group, j, ratios[j]!, patternCounts(cohort)));
}

/** Strata as covariates; regions and hospitals, of which there are too many for weights, are left out. */
function balancing(asked: AskedCohort, question: Question): AskedCohort {
  const strata = [...new Set(question.strata)].flatMap((factor, s) => (
    factor === 'hospital' || factor === 'region' || question.adjust.includes(factor)
      ? [] : [{ covariate: factor, coding: codings[factor], codes: asked.strata[s]!.codes }]
  ));
  return { ...asked, adjustments: [...asked.adjustments, ...strata], strata: [] };
}
