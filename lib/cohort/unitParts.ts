import type { Query } from '../engine/database';
import { allOf, enumCode, type Fragment } from './sql';

/** One row per procedure: its parts as text. Columns: procedure, year, hospital and surgeon (numbers as in `enumCode`; -1: not recorded), part_0, part_1 … */
export function procedurePartsQuery(conditions: readonly Fragment[], keys: readonly string[]): Query {
  const { sql, params } = allOf(conditions);
  return {
    sql: `SELECT procedure, "year"::INTEGER AS year, coalesce(${enumCode('hospital')}, -1) AS hospital, coalesce(${enumCode('surgeon')}, -1) AS surgeon
${keys.map((key, i) => `, (${key}) AS part_${i}`).join('')}
FROM followup WHERE ${sql} ORDER BY procedure`,
    params,
  };
}

/** How many procedures are in each part, in one pass. Columns: cut (position in the list), part (null: in none), procedures. */
export function partSizesQuery(conditions: readonly Fragment[], keys: readonly string[]): Query {
  const { sql, params } = allOf(conditions);
  const names = keys.map((_, i) => `k${i}`);
  return {
    sql: `WITH cohort AS (SELECT ${keys.map((key, i) => `(${key}) AS k${i}`).join(', ')} FROM followup WHERE ${sql})
SELECT CASE 0 ${names.map((name, i) => `WHEN grouping(${name}) THEN ${i}`).join(' ')} END AS cut, coalesce(${names.join(', ')}) AS part, count(*)::INTEGER AS procedures
FROM cohort GROUP BY GROUPING SETS (${names.map((name) => `(${name})`).join(', ')}) ORDER BY cut, part NULLS LAST`,
    params,
  };
}
