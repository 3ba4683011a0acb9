import type { Query } from '../engine/database';
import type { ComparisonFactor } from './comparison';
import { allOf, type Fragment } from './sql';

/** The first procedure of each group. Columns: code, first_use (ISO 8601 date). */
export function firstUseQuery(conditions: readonly Fragment[], factor: ComparisonFactor): Query {
  const { sql, params } = allOf(conditions);
  return {
    sql: `SELECT code, min(procedure_date)::VARCHAR AS first_use
FROM (SELECT procedure, ${factor.code} AS code FROM followup WHERE ${sql}) JOIN (SELECT procedure, procedure_date FROM procedures) USING (procedure)
GROUP BY code ORDER BY code`,
    params,
  };
}
