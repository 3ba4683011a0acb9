import type { Query } from '../engine/database';
import type { ComparisonFactor } from './comparison';
import { allOf, type Fragment } from './sql';

/** The first procedure of each group. Columns: code, first_day (days from 1970-01-01). */
export function firstUseQuery(conditions: readonly Fragment[], factor: ComparisonFactor): Query {
  const { sql, params } = allOf(conditions);
  return { sql: `SELECT ${factor.code} AS code, min(procedure_day) AS first_day FROM followup WHERE ${sql} GROUP BY ALL ORDER BY code`, params };
}
