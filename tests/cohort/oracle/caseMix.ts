import type { Query } from '@/lib/engine/database';
import type { ComparisonFactor } from '@/lib/cohort/comparison';
import type { Coding } from '@/lib/cohort/covariate';
import { allOf, type Fragment } from '@/lib/cohort/sql';

/**
 * The levels of each characteristic in each group, in one pass. Columns: characteristic (position in the list), level (its code,
 * null: not recorded), code (of the group), procedures.
 */
export function caseMixQuery(conditions: readonly Fragment[], factor: ComparisonFactor, characteristics: readonly Coding[]): Query {
  const { sql, params } = allOf(conditions);
  const names = characteristics.map((_, i) => `c${i}`);
  return {
    sql: `WITH cohort AS (SELECT ${factor.code} AS code, ${characteristics.map((c, i) => `${c.code} AS c${i}`).join(', ')}
  FROM followup WHERE ${sql})
SELECT CASE 0 ${names.map((name, i) => `WHEN grouping(${name}) THEN ${i}`).join(' ')} END AS characteristic,
  coalesce(${names.join(', ')}) AS level, code, count(*)::INTEGER AS procedures
FROM cohort GROUP BY GROUPING SETS (${names.map((name) => `(code, ${name})`).join(', ')})
ORDER BY characteristic, level NULLS LAST, code`,
    params,
  };
}
