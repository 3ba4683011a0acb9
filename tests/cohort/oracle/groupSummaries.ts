import type { Query } from '@/lib/engine/database';
import type { ComparisonFactor } from '@/lib/cohort/comparison';
import { allOf, type Fragment } from '@/lib/cohort/sql';

/**
 * Who got what, a row per group of the comparison. Columns: code, procedures, patients, hospitals, surgeons, largest_hospital and
 * largest_surgeon (procedures at the largest user), first_year, last_year. Of hospitals and surgeons only those recorded; null: none is.
 */
export function groupSummariesQuery(conditions: readonly Fragment[], factor: ComparisonFactor): Query {
  const { sql, params } = allOf(conditions);
  const users = (unit: string) => `SELECT code, count(*)::INTEGER AS users, max(n)::INTEGER AS largest
  FROM (SELECT code, ${unit}, count(*) AS n FROM cohort WHERE ${unit} IS NOT NULL GROUP BY code, ${unit}) GROUP BY code`;
  return {
    sql: `WITH cohort AS (SELECT ${factor.code} AS code, patient, hospital, surgeon, year FROM followup WHERE ${sql}),
hospitals AS (${users('hospital')}),
surgeons AS (${users('surgeon')}),
totals AS (SELECT code, count(*)::INTEGER AS procedures, count(DISTINCT patient)::INTEGER AS patients,
  min(year)::INTEGER AS first_year, max(year)::INTEGER AS last_year FROM cohort GROUP BY code)
SELECT code, procedures, patients, hospitals.users AS hospitals, surgeons.users AS surgeons,
  hospitals.largest AS largest_hospital, surgeons.largest AS largest_surgeon, first_year, last_year
FROM totals LEFT JOIN hospitals USING (code) LEFT JOIN surgeons USING (code) ORDER BY code`,
    params,
  };
}
