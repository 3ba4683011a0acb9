import { calendarQuery } from '../cohort/calendar';
import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import type { Fragment } from '../cohort/sql';
import type { Database } from '../engine/database';
import type { CalendarOverlap } from './result';

/** Procedures of each group in every calendar year from the first to the last of the cohort. */
export async function calendarOverlap(
  database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, groups: readonly ComparedGroup[],
): Promise<CalendarOverlap> {
  const result = await database.query(calendarQuery(conditions, factor));
  const year = result.numbers('year'), code = result.numbers('code'), procedures = result.numbers('procedures');
  const first = year[0] ?? 0, last = year.at(-1) ?? -1;
  const years = Array.from({ length: last - first + 1 }, (_, i) => first + i);
  const counts = groups.map((group) => {
    const ofGroup = years.map(() => 0);
    year.forEach((y, row) => { if (code[row] === group.code) ofGroup[y - first] = procedures[row]!; });
    return ofGroup;
  });
  return { years, counts };
}
