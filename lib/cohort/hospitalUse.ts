import type { Query } from '../engine/database';
import type { ComparisonFactor } from './comparison';
import { allOf, enumCode, type Fragment } from './sql';

/** Procedures of each group at each hospital that is recorded, most first. Columns: code (of the group), hospital (number as in `enumCode`), procedures. */
export function hospitalUseQuery(conditions: readonly Fragment[], factor: ComparisonFactor): Query {
  const { sql, params } = allOf(conditions);
  return {
    sql: `SELECT ${factor.code} AS code, ${enumCode('hospital')} AS hospital, count(*)::INTEGER AS procedures
FROM followup WHERE ${sql} AND hospital IS NOT NULL GROUP BY ALL ORDER BY code, procedures DESC, hospital`,
    params,
  };
}
