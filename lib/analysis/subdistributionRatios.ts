import type { Question } from '../contract/question';
import type { NotEstimable } from '../stats/cells';
import { hazardRatios } from '../stats/cox/hazardRatios';
import { fineGray } from '../stats/fineGray/fineGray';
import { againstReference } from './againstReference';
import type { GroupRatios } from './groupRatios';
import type { Model } from './model';

/**
 * The ratios of the groups by the model of Fine and Gray; `model` keeps the codes of competing events. Length of follow-up may differ between the
 * groups, so each has a censoring distribution of its own.
 */
export function subdistributionRatios({ cohort, design, terms, notes }: Model, { confidence }: Question): GroupRatios | NotEstimable {
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
