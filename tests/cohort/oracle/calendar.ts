import type { ComparisonFactor } from '@/lib/cohort/comparison';
import { allOf, type Fragment } from '@/lib/cohort/sql';
import type { Query } from '@/lib/engine/database';

/** Procedures per calendar year and group. Columns: code, year, procedures. */
export function calendarQuery(conditions: readonly Fragment[], factor: ComparisonFactor): Query {
  const { sql, params } = allOf(conditions);
  return {
    sql: `SELECT ${factor.code} AS code, year::INTEGER AS year, count(*)::INTEGER AS procedures
FROM followup WHERE ${sql} GROUP BY ALL ORDER BY year, code`,
    params,
  };
}
