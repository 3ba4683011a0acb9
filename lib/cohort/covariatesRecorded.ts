import type { Query } from '../engine/database';
import type { Coding } from './covariate';
import { allOf, type Fragment } from './sql';

/** Of how many procedures each covariate is recorded. Columns: n0, n1 … in the order of the covariates. */
export function covariatesRecordedQuery(conditions: readonly Fragment[], covariates: readonly Pick<Coding, 'code'>[]): Query {
  const { sql, params } = allOf(conditions);
  return { sql: `SELECT ${covariates.map(({ code }, i) => `count(${code})::INTEGER AS n${i}`).join(', ')} FROM followup WHERE ${sql}`, params };
}
