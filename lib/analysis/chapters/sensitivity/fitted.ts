import type { Question } from '../../../contract/question';
import type { NotEstimable } from '../../../stats/cells';
import { askedModel, merged } from '../../askedModel';
import { coarserPatterns } from '../../coarserPatterns';
import { groupRatios } from '../../groupRatios';
import type { HazardRatio } from '../../result';
import { subdistributionRatios } from '../../subdistributionRatios';
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
