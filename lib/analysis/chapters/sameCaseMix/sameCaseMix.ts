import type { Question } from '../../../contract/question';
import type { AskedCohort } from '../../askedCohort';
import { pieceByPiece } from '../../../stats/inPieces';
import { askedModel } from '../../askedModel';
import { atTime } from '../../atTime';
import { completeWherePossible } from '../../completeCases';
import { curveOf } from '../../curve';
import { groupSurvival } from '../../groupSurvival';
import { standardisedCohort } from '../../standardisedCohort';
import type { Step } from '../../step';
import { basisOf, limits, stopRule } from '../basis';
import { contrastsOf } from '../contrasts';
import type { SameCaseMix } from '../sameCaseMixResult';
import { caseMixContrasts } from './caseMixContrasts';
import { standardisedCurves } from './standardisedCurves';
import { weightedCurves } from './weightedCurves';

/** The groups as they are, and as they would be if the patients of each were those of the whole cohort. */
export async function sameCaseMix(asked: AskedCohort, question: Question, step: Step): Promise<SameCaseMix> {
  const { groups, reference, adjustments } = asked;
  await step('Giving the groups one case mix', 0.1);
  const model = askedModel(asked), adjusted = standardisedCohort(asked, question);
  const { cells, group } = completeWherePossible(asked.cohort, adjustments);
  const survival = groupSurvival(cells, group, groups.map(({ key }) => key), question);
  const contrasts = contrastsOf(asked, survival, adjusted, question);
  const between = () => step('Reading the curves of one case mix', 0.3);
  await between();
  const standardised = adjusted.status === 'ok'
    ? { status: 'ok' as const, ...await pieceByPiece(standardisedCurves(adjusted, question), between), contrasts: caseMixContrasts(contrasts, 'adjusted') } : adjusted;
  await step('Weighting procedures', 0.8);
  const weighted = weightedCurves(asked, question);
  return {
    status: 'ok',
    ...basisOf(asked, methods(question, asked), notesOn(question)),
    reference,
    adjustedFor: model.status === 'ok' ? model.adjustedFor : [],
    leftOut: model.status === 'ok' ? model.leftOut : [],
    groups: groups.map(({ key, label }, g) => {
      const { table } = survival[g]!.km;
      return { group: key, label, procedures: table.procedures, events: table.events.reduce((sum, d) => sum + d, 0) };
    }),
    crude: {
      status: 'ok',
      curves: survival.map((own) => curveOf(own, question)),
      atTimes: question.atYears.flatMap((years) => survival.map((own) => atTime(own, years, question))),
      contrasts: caseMixContrasts(contrasts, 'unadjusted'),
    },
    standardised,
    weighted,
  };
}

const notesOn = ({ strata }: Question): readonly string[] => strata.filter((factor) => factor === 'hospital' || factor === 'region')
  .map((factor) => `Weights do not balance ${factor}s, which are too many; standardised curves do.`);

const methods = ({ confidence, largestStep }: Question, { clusters: cluster }: AskedCohort): readonly string[] => {
  const limit = limits(confidence), clusters = cluster === 'none' ? 'procedure' : cluster;
  return [
    `As they are: Kaplan and Meier 1958; ${limit} by Greenwood’s formula on the scale log(−log S); ${stopRule(largestStep)}`,
    `Standardised: mean prediction over the cohort of a Cox model with a baseline per group (Chang et al. 1982); ${limit} by influence functions over each ${clusters}; read for as long as the group’s own curve`,
    `Weighted: inverse probability of the group received, stabilised (Robins et al. 2000), from a multinomial logistic model; weighted Kaplan–Meier (Xie and Liu 2005) and Cox model with ties as in Breslow 1974; ${limit} robust over each ${clusters}, weights taken for known; effective sizes as in Kish 1965`,
    'Balance: standardised differences, standard deviations those without weights (Austin and Stuart 2015)',
  ];
};
