import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import type { Fragment } from '../cohort/sql';
import type { Database } from '../engine/database';
import type { CalendarOverlap } from './result';
import { cohortRows } from './rows/cohortRows';
import { crossTable } from './rows/crossTable';

/** Procedures of each group in every calendar year from the first to the last of the cohort. */
export async function calendarOverlap(
  database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, groups: readonly ComparedGroup[],
): Promise<CalendarOverlap> {
  const { values, count, total } = await crossTable(await cohortRows(database, conditions, factor), { sql: '"year"', params: [], column: 'year' });
  const used = values.filter((_, place) => total(place) > 0), first = used[0] ?? 0, last = used.at(-1) ?? -1;
  const years = Array.from({ length: last - first + 1 }, (_, i) => first + i), places = years.map((year) => values.indexOf(year));
  return { years, counts: groups.map(({ code }) => places.map((place) => (place < 0 ? 0 : count(code, place)))) };
}
