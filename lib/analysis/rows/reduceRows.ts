import type { ComparisonFactor } from '../../cohort/comparison';
import type { Coding } from '../../cohort/covariate';
import { daysOfYears } from '../../cohort/days';
import { eventFragment } from '../../cohort/outcome';
import type { Fragment } from '../../cohort/sql';
import type { Question } from '../../contract/question';
import type { Database } from '../../engine/database';
import type { CountedCells } from './cellList';
import { clusterOfRow } from './clusterOfRow';
import { codeExpression, cohortRows } from './cohortRows';
import { combinations } from './combinations';
import { countCells } from './countCells';
import { endsOfFollowUp } from './endsOfFollowUp';

/** Cells with the radices that their patterns are packed by (see `unpackPattern`). */
export interface PackedCells { readonly cells: CountedCells; readonly radices: readonly number[] }

/** The cohort by cells, counted over the columns of `followup`; null where there are too many combinations of the factors for it. */
export async function reduceRows(
  database: Database, conditions: readonly Fragment[], comparison: ComparisonFactor,
  factors: readonly Pick<Coding, 'code' | 'column'>[], { outcome, cohort, cluster, horizonYears }: Question,
): Promise<PackedCells | null> {
  const rows = await cohortRows(database, conditions, comparison);
  const known = await combinations(rows.columns, [comparison, ...factors].map(codeExpression));
  if (known === null) return null;
  const ends = await endsOfFollowUp(rows.columns, eventFragment(outcome, cohort.role), daysOfYears(horizonYears)), clusterOf = await clusterOfRow(rows, cluster);
  const cells = countCells({ counted: rows.levels, numbers: known.numbers, patterns: known.packed, ends, ...(clusterOf !== undefined && { clusterOf }) });
  return { cells, radices: known.radices };
}
