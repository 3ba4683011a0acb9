import type { Cells, Design, NotEstimable } from '../cells';
import { alongColumns } from './alongColumns';
import { cox, type CoxFit, type CoxOptions } from './cox';
import { joinedAcrossClusters } from './joinedCells';
import { robustCovariance, type RobustCovariance } from './robust';
import { untilLastEvent } from './untilLastEvent';

export interface ClusteredFit {
  readonly status: 'ok';
  /** Of the cells joined across clusters. */
  readonly fit: CoxFit;
  /** Null: the cells have no clusters. */
  readonly robust: RobustCovariance | NotEstimable | null;
}

/**
 * `cox` with its covariance over clusters. Coefficients do not depend on clusters, so the model is fitted to far fewer cells than tell clusters apart.
 * @param wanted the columns that are asked about; default: all
 */
export function clusteredCox(cells: Cells, design: Design, options: CoxOptions = {}, wanted?: readonly number[]): ClusteredFit | NotEstimable {
  const { cluster, count, stratum } = cells, shortened = wanted !== undefined || stratum === undefined; // a stratum's last event is not that of others, which a scale of time goes by too
  const joined = cluster && joinedAcrossClusters(shortened ? untilLastEvent(cells) : cells, design.pattern);
  const whole = joined ? cox(joined.cells, { ...design, pattern: joined.pattern }, options) : cox(cells, design, options);
  if (whole.status !== 'ok') return whole;
  const fit = wanted ? alongColumns(whole, wanted) : whole;
  return { status: 'ok', fit, robust: joined ? robustCovariance(fit, { members: { row: joined.row, count, cluster } }) : null };
}
