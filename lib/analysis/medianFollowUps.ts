import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import type { Fragment } from '../cohort/sql';
import type { Database } from '../engine/database';
import { eventTables } from '../stats/eventTable';
import { medianFollowUp } from '../stats/medianFollowUp';
import { cohortRows } from './rows/cohortRows';
import { countCells } from './rows/countCells';
import { levelAddend } from './rows/crossTable';

/** Median follow-up of each group in days, whatever the horizon; NaN: not reached. */
export async function medianFollowUps(
  database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, groups: readonly ComparedGroup[],
): Promise<readonly number[]> {
  const rows = await cohortRows(database, conditions, factor);
  const { pattern, entry, exit, outcome, procedures } = await countCells(rows.columns, {
    patterns: { addends: [levelAddend(rows, 1)], count: rows.counts.length },
    outcome: await rows.columns.coded({ sql: "ending <> 'censored'", params: [], column: 'ending' }),
    horizon: Infinity,
  });
  const cells = { exit, entry: entry.map((day) => (day < 0 ? -Infinity : day)), event: new Uint8Array(outcome), count: procedures };
  const groupOfLevel = rows.counts.map((_, level) => groups.findIndex(({ code }) => code + 2 === level)), group = new Int32Array(pattern.length);
  for (const [i, level] of pattern.entries()) group[i] = groupOfLevel[level]!;
  return eventTables(cells, group, groups.length).map((table) => {
    const median = medianFollowUp(table);
    return median.status === 'ok' ? median.time : NaN;
  });
}
