import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import { followUpTimesQuery } from '../cohort/followUpTimes';
import type { Fragment } from '../cohort/sql';
import type { Database } from '../engine/database';
import { eventTables } from '../stats/eventTable';
import { medianFollowUp } from '../stats/medianFollowUp';

/** Median follow-up of each group in days, whatever the horizon; NaN: not reached. */
export async function medianFollowUps(
  database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, groups: readonly ComparedGroup[],
): Promise<readonly number[]> {
  const result = await database.query(followUpTimesQuery(conditions, factor));
  const cells = {
    exit: result.numbers('exit_day'),
    entry: result.numbers('entry_day').map((day) => (Number.isNaN(day) ? -Infinity : day)),
    event: Uint8Array.from(result.numbers('ended')),
    count: result.numbers('procedures'),
  };
  const group = Int32Array.from(result.numbers('code'), (code) => groups.findIndex((g) => g.code === code));
  return eventTables(cells, group, groups.length).map((table) => {
    const median = medianFollowUp(table);
    return median.status === 'ok' ? median.time : NaN;
  });
}
