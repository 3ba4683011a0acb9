import type { Question } from '../contract/question';
import type { NotEstimable } from '../stats/cells';
import { clusteredCox } from '../stats/cox/clusteredCox';
import { hazardRatios } from '../stats/cox/hazardRatios';
import { againstReference } from './againstReference';
import { clusterNotes, sayingOwnLimits } from './clusterNotes';
import type { Model } from './model';
import type { HazardRatio } from './result';

export interface GroupRatios {
  readonly status: 'ok';
  readonly procedures: number;
  readonly events: number;
  readonly ratios: readonly HazardRatio[]; // every group but the reference
  readonly notes: readonly string[];
}

/** The ratios of the groups alone, as `coxResult` has them. */
export function groupRatios({ cohort, design, terms, notes }: Model, { cluster, confidence }: Question): GroupRatios | NotEstimable {
  const group = terms[0]!, fitted = clusteredCox(cohort.cells, design, {}, [...group.columns.keys()]);
  if (fitted.status !== 'ok') return fitted;
  const { fit, robust } = fitted;
  const ratios = hazardRatios(fit, { confidence, ...(robust?.status === 'ok' && { covariance: robust.covariance }) });
  return {
    status: 'ok',
    procedures: fit.procedures,
    events: fit.events,
    ratios: sayingOwnLimits(againstReference(group, ratios, 0, cohort), robust),
    notes: [...notes, ...fit.notes, ...clusterNotes(robust, cluster)],
  };
}
