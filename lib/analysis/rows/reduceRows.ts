import type { ComparisonFactor } from '../../cohort/comparison';
import type { Coding } from '../../cohort/covariate';
import { daysOfYears } from '../../cohort/days';
import { eventFragment } from '../../cohort/outcome';
import type { Fragment } from '../../cohort/sql';
import type { Question } from '../../contract/question';
import type { Database } from '../../engine/database';
import type { CountedCells } from './cellList';
import { clustersOfRows } from './clustersOfRows';
import { codeExpression, cohortRows } from './cohortRows';
import { combinations, type Combinations } from './combinations';
import { countCells } from './countCells';
import { endsOfFollowUp, type CompetingEvents } from './endsOfFollowUp';

/** Cells with their patterns as numbers, ascending by the combination that each is, packed by the radices (see `unpackPattern`). */
export interface PackedCells extends Pick<Combinations, 'packed' | 'radices'> { readonly cells: CountedCells }

/** The cohort by cells, counted over the columns of `followup`. */
export async function reduceRows(
  database: Database, conditions: readonly Fragment[], comparison: ComparisonFactor,
  factors: readonly Pick<Coding, 'code' | 'column'>[], { outcome, cohort, cluster, horizonYears }: Question, competing: CompetingEvents = 'apart',
): Promise<PackedCells> {
  const rows = await cohortRows(database, conditions, comparison);
  const { numbers, packed, radices } = await combinations(rows.columns, [comparison, ...factors].map(codeExpression));
  const ends = await endsOfFollowUp(rows.columns, eventFragment(outcome, cohort.role), daysOfYears(horizonYears), competing), clusters = await clustersOfRows(rows, cluster);
  return { cells: countCells({ counted: rows.levels, numbers, patterns: packed.length, ends, ...(clusters !== undefined && { clusters }) }), packed, radices };
}
