import type { Cells, Design, NotEstimable } from '../cells';
import { alongColumns } from './alongColumns';
import type { ClusteredFit } from './clusteredCox';
import { cox } from './cox';
import { joinedCells } from './joinedCells';
import { robustCovariance } from './robust';

/** `clusteredCox` of which only some columns are asked about. */
export function clusteredColumns(cells: Cells, design: Design, wanted: readonly number[]): ClusteredFit | NotEstimable {
  const { cluster, count } = cells, joined = cluster && joinedCells(cells, design.pattern, 'together');
  const whole = joined ? cox(joined.cells, { ...design, pattern: joined.pattern }) : cox(cells, design);
  if (whole.status !== 'ok') return whole;
  const fit = alongColumns(whole, wanted);
  return { status: 'ok', fit, robust: joined ? robustCovariance(fit, { members: { row: joined.row, count, cluster } }) : null };
}
