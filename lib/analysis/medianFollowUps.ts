import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import { unpackPattern } from '../cohort/patterns';
import type { Fragment } from '../cohort/sql';
import type { Database } from '../engine/database';
import { eventTables } from '../stats/eventTable';
import { medianFollowUp } from '../stats/medianFollowUp';
import { taken } from '../stats/subset';
import { codeExpression, cohortRows } from './rows/cohortRows';
import { countCells } from './rows/countCells';
import { countPlaces } from './rows/countPlaces';

/** Median follow-up of each group in days, whatever the horizon; NaN: not reached. */
export async function medianFollowUps(
  database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, groups: readonly ComparedGroup[],
): Promise<readonly number[]> {
  const rows = await cohortRows(database, conditions, factor);
  const places = await countPlaces(rows.columns, [codeExpression(factor)], { sql: "ending <> 'censored'", params: [], column: 'ending' }, Infinity);
  const { pattern, entry, exit, outcome, procedures } = countCells(rows.levels, places);
  const cells = { exit, event: outcome, count: procedures, ...(entry && { entry }) };
  const groupOfPattern = Int32Array.from(places.packed, (packed) => groups.findIndex(({ code }) => code === unpackPattern(packed, places.radices)[0]));
  const group = taken(groupOfPattern, pattern, new Int32Array(pattern.length));
  return eventTables(cells, group, groups.length).map((table) => {
    const median = medianFollowUp(table);
    return median.status === 'ok' ? median.time : NaN;
  });
}
