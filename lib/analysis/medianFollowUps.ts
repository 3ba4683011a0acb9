import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import type { Fragment } from '../cohort/sql';
import type { Database } from '../engine/database';
import { eventTables } from '../stats/eventTable';
import { medianFollowUp } from '../stats/medianFollowUp';
import { cohortRows } from './rows/cohortRows';
import { countCells } from './rows/countCells';
import { endsOfFollowUp } from './rows/endsOfFollowUp';

/** Median follow-up of each group in days, whatever the horizon; NaN: not reached. */
export async function medianFollowUps(
  database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, groups: readonly ComparedGroup[],
): Promise<readonly number[]> {
  const rows = await cohortRows(database, conditions, factor);
  const ends = await endsOfFollowUp(rows.columns, { sql: "ending <> 'censored'", params: [], column: 'ending' }, Infinity);
  const { pattern, entry, exit, outcome, procedures } = countCells({ counted: rows.levels, numbers: rows.levels, patterns: rows.counts.length, ends });
  const cells = { exit, event: outcome, count: procedures, ...(entry && { entry }) };
  const groupOfLevel = rows.counts.map((_, level) => groups.findIndex(({ code }) => code + 2 === level)), group = new Int32Array(pattern.length);
  for (const [i, level] of pattern.entries()) group[i] = groupOfLevel[level]!;
  return eventTables(cells, group, groups.length).map((table) => {
    const median = medianFollowUp(table);
    return median.status === 'ok' ? median.time : NaN;
  });
}
