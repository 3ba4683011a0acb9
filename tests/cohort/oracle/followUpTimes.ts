import type { Query } from '@/lib/engine/database';
import type { ComparisonFactor } from '@/lib/cohort/comparison';
import { allOf, type Fragment } from '@/lib/cohort/sql';

/** How long procedures of each group were followed, whatever the horizon. Columns: code, entry_day (null: from the start), exit_day, ended (1: by a revision or death), procedures. */
export function followUpTimesQuery(conditions: readonly Fragment[], factor: ComparisonFactor): Query {
  const { sql, params } = allOf(conditions);
  return {
    sql: `SELECT ${factor.code} AS code, entry_day, exit_day, (ending <> 'censored')::INTEGER AS ended, count(*)::INTEGER AS procedures
FROM followup WHERE ${sql} GROUP BY ALL ORDER BY ALL`,
    params,
  };
}
