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
import type { Combinations } from './combinations';
import { countCells } from './countCells';
import { countPlaces } from './countPlaces';
import type { CompetingEvents } from './endsOfFollowUp';

/** Cells with their patterns as numbers, ascending by the combination that each is, packed by the radices (see `unpackPattern`). */
export interface PackedCells extends Pick<Combinations, 'packed' | 'radices'> { readonly cells: CountedCells }

/** The cohort by cells, counted over the columns of `followup`. */
export async function reduceRows(
  database: Database, conditions: readonly Fragment[], comparison: ComparisonFactor,
  factors: readonly Pick<Coding, 'code' | 'column'>[], { outcome, cohort, cluster, horizonYears }: Question, competing: CompetingEvents = 'apart',
): Promise<PackedCells> {
  const rows = await cohortRows(database, conditions, comparison);
  const places = await countPlaces(rows.columns, [comparison, ...factors].map(codeExpression), eventFragment(outcome, cohort.role), daysOfYears(horizonYears), competing);
  return { cells: countCells(rows.levels, places, await clustersOfRows(rows, cluster)), packed: places.packed, radices: places.radices };
}
