import type { Query } from '../engine/database';
import type { Fragment } from './sql';

/**
 * For each condition, how many procedures it is the first to leave out. Columns: step (its position in the list; the length of
 * the list for those that meet all), procedures. A step that leaves out none has no row.
 */
export const attritionQuery = (conditions: readonly Fragment[]): Query => ({
  sql: `SELECT CASE ${conditions.map((c, i) => `WHEN (${c.sql}) IS NOT TRUE THEN ${i}`).join(' ')} ELSE ${conditions.length} END AS step,
count(*)::INTEGER AS procedures
FROM followup GROUP BY step ORDER BY step`,
  params: conditions.flatMap((c) => c.params),
});
