import type { UnitKind } from '@/lib/contract/unitsQuestion';
import type { Query } from '@/lib/engine/database';
import { allOf, enumCode, type Fragment } from '@/lib/cohort/sql';

/**
 * How much each unit that is recorded does, in the order of identifiers. Columns: code, id, procedures, active_years (calendar years with a procedure),
 * region (number as in `enumCode`, that of most of its procedures; null: not recorded).
 */
export function unitSizesQuery(conditions: readonly Fragment[], kind: UnitKind): Query {
  const { sql, params } = allOf(conditions);
  return {
    sql: `WITH cohort AS (SELECT ${enumCode(kind)} AS code, ${kind}::VARCHAR AS id, "year", ${enumCode('region')} AS region FROM followup WHERE ${sql} AND ${kind} IS NOT NULL),
regions AS (SELECT code, arg_max(region, (n, -region)) AS region
  FROM (SELECT code, region, count(*) AS n FROM cohort WHERE region IS NOT NULL GROUP BY ALL) GROUP BY code)
SELECT code, any_value(id) AS id, count(*)::INTEGER AS procedures, count(DISTINCT "year")::INTEGER AS active_years, any_value(regions.region) AS region
FROM cohort LEFT JOIN regions USING (code) GROUP BY code ORDER BY code`,
    params,
  };
}
