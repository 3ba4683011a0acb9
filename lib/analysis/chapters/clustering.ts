import type { Question } from '../../contract/question';
import type { NotEstimable } from '../../stats/cells';
import { clusteredCox } from '../../stats/cox/clusteredCox';
import { cox } from '../../stats/cox/cox';
import { hazardRatios } from '../../stats/cox/hazardRatios';
import { robustCovariance } from '../../stats/cox/robust';
import { sharedFrailtyInPieces } from '../../stats/frailty/sharedFrailty';
import { pieceByPiece } from '../../stats/inPieces';
import { cohortOf, type AskedCohort } from '../askedCohort';
import { askedModel, merged } from '../askedModel';
import { againstReference } from '../againstReference';
import type { Model } from '../model';
import type { HazardRatio } from '../result';
import type { Step } from '../step';
import { basisOf, limits } from './basis';
import type { Clustering, ClusteredRatios, FrailtyRatios } from './clusteringResult';

const units = ['patient', 'hospital', 'surgeon'] as const;
const labels = { none: 'All procedures independent', patient: 'Robust over patients', hospital: 'Robust over hospitals', surgeon: 'Robust over surgeons' } as const;
const fewClusters = 30;

/** The adjusted ratios of the question with limits that allow for what procedures have in common, and within hospitals. */
export async function clustering(asked: AskedCohort, question: Question, step: Step): Promise<Clustering> {
  const fitted = askedModel(asked), { confidence } = question, limit = limits(confidence);
  const errors: ClusteredRatios[] = [], independent = fitted.status === 'ok' ? merged(fitted.model) : fitted;
  let frailty: Clustering['frailty'] = { status: 'notEstimable', reason: 'there is no model' };
  for (const [k, unit] of units.entries()) {
    await step(`Grouping procedures by ${unit}`, 0.2 + 0.2 * k);
    const model = await clusteredBy(unit, asked, question);
    if (errors.length === 0) errors.push(unclustered(independent, question));
    errors.push(robustOver(unit, model, question));
    if (unit === 'hospital') {
      const between = () => step('Letting every hospital have a hazard of its own', 0.45);
      await between();
      frailty = await withinHospitals(model, question, between);
    }
  }
  return {
    status: 'ok',
    ...basisOf(asked, [
      `Hazard ratios: Cox 1972, ties as in Efron 1977; ${limit}, of the model or robust over clusters (Lin and Wei 1989), fewer than ${fewClusters} being few`,
      `Shared frailty: gamma, a hazard of each hospital’s own with mean 1, by maximum likelihood (Nielsen et al. 1992); ${limit} of the variance by profile likelihood; its test as in Self and Liang 1987`,
    ]),
    reference: asked.reference,
    adjustedFor: fitted.status === 'ok' ? fitted.adjustedFor : [],
    leftOut: fitted.status === 'ok' ? fitted.leftOut : [],
    errors,
    frailty,
  };
}

/** The model of the question, over the same procedures, with another cluster. */
async function clusteredBy(unit: (typeof units)[number], asked: AskedCohort, question: Question): Promise<Model | NotEstimable> {
  if (asked.users[unit] === 0) return { status: 'notEstimable', reason: `no ${unit} is recorded` };
  const fitted = askedModel(await cohortOf(asked, { ...question, cluster: unit }, 'together'));
  return fitted.status === 'ok' ? merged(fitted.model) : fitted;
}

const ofGroups = ({ cohort, terms: [group] }: Model, ratios: ReturnType<typeof hazardRatios>): readonly HazardRatio[] =>
  againstReference(group!, ratios, 0, cohort);

function unclustered(model: Model | NotEstimable, { cluster, confidence }: Question): ClusteredRatios {
  const described = { unit: 'none', label: labels.none, asked: cluster === 'none', clusters: 0, few: false } as const;
  if ('status' in model) return { ...described, ratios: model };
  const fit = cox(model.cohort.cells, model.design);
  return { ...described, ratios: fit.status === 'ok' ? ofGroups(model, hazardRatios(fit, { confidence })) : fit };
}

function robustOver(unit: (typeof units)[number], model: Model | NotEstimable, { cluster, confidence }: Question): ClusteredRatios {
  const described = { unit, label: labels[unit], asked: cluster === unit };
  const without = (ratios: NotEstimable): ClusteredRatios => ({ ...described, clusters: 0, few: false, ratios });
  if ('status' in model) return without(model);
  const fitted = clusteredCox(model.cohort.cells, model.design);
  if (fitted.status !== 'ok') return without(fitted);
  const { fit } = fitted, robust = fitted.robust ?? robustCovariance(fit); // where no cluster is recorded, every procedure is its own
  if (robust.status !== 'ok') return without(robust);
  const { covariance, clusters } = robust;
  return { ...described, clusters, few: clusters < fewClusters, ratios: ofGroups(model, hazardRatios(fit, { confidence, covariance })) };
}

async function withinHospitals(model: Model | NotEstimable, { strata, confidence }: Question, between: () => Promise<void>): Promise<FrailtyRatios | NotEstimable> {
  if (strata.includes('hospital')) return { status: 'notEstimable', reason: 'the question gives every hospital a baseline hazard of its own already' };
  if ('status' in model) return model;
  const fit = await pieceByPiece(sharedFrailtyInPieces(model.cohort.cells, model.design, { confidence }), between);
  if (fit.status !== 'ok') return fit;
  const multipliers = [...fit.frailty.values()];
  return {
    status: 'ok',
    unit: 'hospital',
    clusters: fit.clusters,
    variance: { value: fit.variance, lower: fit.lower, upper: fit.upper },
    test: fit.test,
    ratios: ofGroups(model, hazardRatios(fit, { confidence })),
    spread: {
      smallest: multipliers.reduce((least, m) => Math.min(least, m), Infinity),
      largest: multipliers.reduce((most, m) => Math.max(most, m), -Infinity),
    },
  };
}
