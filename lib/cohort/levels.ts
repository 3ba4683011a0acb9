import type { Query } from '../engine/database';
import type { ComparisonFactor } from './comparison';
import { allOf, type Fragment } from './sql';

/** The levels of a comparison in a cohort, largest first. Columns: code, level_key, procedures. */
export function levelsQuery(conditions: readonly Fragment[], factor: ComparisonFactor): Query {
  const { sql, params } = allOf(conditions);
  return {
    sql: `SELECT ${factor.code} AS code, any_value(${factor.key}) AS level_key, count(*)::INTEGER AS procedures
FROM followup WHERE ${sql} AND ${factor.code} IS NOT NULL
GROUP BY ${factor.code} ORDER BY procedures DESC, level_key`,
    params,
  };
}
