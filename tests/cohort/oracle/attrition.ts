import type { Query } from '@/lib/engine/database';
import type { Fragment } from '@/lib/cohort/sql';

/**
 * For each condition, how many procedures it is the first to leave out. Columns: step (its position in the list; the length of
 * the list for those that meet all), unrecorded (1: what it asks for is not recorded; 0: recorded, and otherwise), procedures.
 * A step that leaves out none has no row.
 */
export function attritionQuery(conditions: readonly Fragment[]): Query {
  const names = conditions.map((_, i) => `c${i}`);
  return {
    sql: `SELECT CASE ${names.map((name, i) => `WHEN ${name} IS NOT TRUE THEN ${i}`).join(' ')} ELSE ${conditions.length} END AS step,
(CASE ${names.map((name) => `WHEN ${name} IS NOT TRUE THEN ${name} IS NULL`).join(' ')} ELSE false END)::INTEGER AS unrecorded,
count(*)::INTEGER AS procedures
FROM (SELECT ${conditions.map((c, i) => `(${c.sql}) AS c${i}`).join(', ')} FROM followup) GROUP BY ALL ORDER BY step, unrecorded DESC`,
    params: conditions.flatMap((c) => c.params),
  };
}
