import type { Query } from '../engine/database';
import { allOf, type Fragment } from './sql';

/** First revisions of the cohort of which something is not recorded. Columns: no_kind, no_reason, none_removed. */
export function outcomeGapsQuery(conditions: readonly Fragment[]): Query {
  const { sql, params } = allOf(conditions);
  return {
    sql: `SELECT count(*) FILTER (WHERE kind = 'unspecified')::INTEGER AS no_kind, count(*) FILTER (WHERE reason IS NULL)::INTEGER AS no_reason, count(*) FILTER (WHERE removed = 0)::INTEGER AS none_removed
FROM followup WHERE ${sql} AND ending = 'revision'`,
    params,
  };
}
