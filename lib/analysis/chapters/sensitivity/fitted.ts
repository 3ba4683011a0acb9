import type { Question } from '../../../contract/question';
import type { NotEstimable } from '../../../stats/cells';
import { hazardRatios } from '../../../stats/cox/hazardRatios';
import { fineGray } from '../../../stats/fineGray/fineGray';
import { askedModel, merged } from '../../askedModel';
import { coarserPatterns } from '../../coarserPatterns';
import { groupRatios, type GroupRatios } from '../../groupRatios';
import { againstReference } from '../../againstReference';
import type { Model } from '../../model';
import type { HazardRatio } from '../../result';
import type { LineEstimates, NotApplicable } from '../sensitivityResult';
import type { Alternative } from './alternatives';

/** What is estimated of one alternative by itself. */
export type Fitted = Omit<LineEstimates, 'fewer' | 'shifts'> | NotApplicable | NotEstimable;

export function fitted({ compared, competing }: Alternative, question: Question): Fitted {
  if (compared.status !== 'ok') return compared;
  const asked = askedModel(coarserPatterns(compared));
  if (asked.status !== 'ok') return asked;
  const { model, adjustedFor, leftOut } = asked;
  const ratios = competing ? subdistributionRatios(model, question) : groupRatios(merged(model), question);
  if (ratios.status !== 'ok') return ratios;
  return { ...ratios, ratios: ratios.ratios.map(namingTheEmpty), measure: competing ? 'subdistribution' : 'hazard', adjustedFor, leftOut };
}

/** A group of which an alternative leaves nobody: the model alone calls its column constant. */
const namingTheEmpty = (ratio: HazardRatio): HazardRatio =>
  (ratio.procedures > 0 ? ratio : { ...ratio, estimate: { status: 'notEstimable', reason: 'no procedures of this group are left' }, p: NaN });

/** Length of follow-up may differ between the groups, so each has a censoring distribution of its own. */
function subdistributionRatios({ cohort, design, terms, notes }: Model, { confidence }: Question): GroupRatios | NotEstimable {
  const result = fineGray(cohort.cells, design, { censoringGroup: cohort.group });
  if (result.status !== 'ok') return result;
  const { fit, robust } = result, ratios = hazardRatios(fit, { confidence, covariance: robust.covariance });
  return {
    status: 'ok',
    procedures: fit.procedures,
    events: fit.events,
    ratios: againstReference(terms[0]!, ratios, 0, cohort),
    notes: [...notes, ...fit.notes, ...robust.notes],
  };
}
