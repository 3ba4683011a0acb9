import type { Query } from '@/lib/engine/database';
import { allOf, type Fragment } from '@/lib/cohort/sql';

/** Of how many procedures it is recorded whose they are. Columns: procedures, patient, hospital, surgeon. */
export function usersRecordedQuery(conditions: readonly Fragment[]): Query {
  const { sql, params } = allOf(conditions);
  return {
    sql: `SELECT count(*)::INTEGER AS procedures, count(*) FILTER (WHERE patient_known)::INTEGER AS patient,
count(hospital)::INTEGER AS hospital, count(surgeon)::INTEGER AS surgeon FROM followup WHERE ${sql}`,
    params,
  };
}
