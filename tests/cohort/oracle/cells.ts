import type { Coding } from '@/lib/cohort/covariate';
import { daysOfYears } from '@/lib/cohort/days';
import { eventFragment } from '@/lib/cohort/outcome';
import { patternRadices, possiblePatterns } from '@/lib/cohort/patterns';
import { allOf, enumCode, type Fragment } from '@/lib/cohort/sql';
import type { Question } from '@/lib/contract/question';
import type { Query } from '@/lib/engine/database';

type CodeSql = Pick<Coding, 'code'>;

/** How far the numbers of a cohort reach: what packing them into one key needs to know. */
export interface CellRanges {
  readonly lastExit: number; // days, up to the horizon
  readonly lastEntry: number | null; // days; null: everyone is at risk from the start
  readonly lastCodes: readonly (number | null)[]; // highest code of each factor; null: nowhere recorded
}

/** Columns: last_exit, last_entry, last_0, last_1 … for the factors in order. */
export function cellRangesQuery(conditions: readonly Fragment[], factors: readonly CodeSql[], horizonYears: number): Query {
  const { sql, params } = allOf(conditions);
  const codes = factors.map((f, i) => `, max(${f.code})::INTEGER AS last_${i}`).join('');
  return {
    sql: `SELECT max(least(exit_day, ?))::INTEGER AS last_exit, max(entry_day)::INTEGER AS last_entry${codes} FROM followup WHERE ${sql}`,
    params: [daysOfYears(horizonYears), ...params],
  };
}

export const radicesOf = (ranges: CellRanges): readonly number[] => patternRadices(ranges.lastCodes.map((last) => last ?? -1));

/**
 * Patients with several procedures in the cohort share a cluster number; hospitals and surgeons are clusters as they are. A procedure of which the
 * unit is not recorded is a cluster of its own.
 */
function clusterSql(unit: Question['cluster'], where: Fragment): { with: Fragment; join: string; column: string } {
  const none = { with: { sql: '', params: [] }, join: '' };
  switch (unit) {
    case 'none': return { ...none, column: '-1' };
    case 'hospital': return { ...none, column: `coalesce(${enumCode('hospital')}, -1)` };
    case 'surgeon': return { ...none, column: `coalesce(${enumCode('surgeon')}, -1)` };
    case 'patient': return {
      with: {
        sql: `WITH several AS (SELECT patient, (row_number() OVER (ORDER BY patient) - 1)::INTEGER AS number
FROM followup WHERE ${where.sql} GROUP BY patient HAVING count(*) > 1)\n`,
        params: where.params,
      },
      join: ' LEFT JOIN several USING (patient)',
      column: 'coalesce(several.number, -1)',
    };
  }
}

/**
 * The cohort reduced to counts, with follow-up censored at the horizon: a row per pattern of the factors, entry, exit, event and cluster that occurs. Grouping by one packed
 * number is twice as fast as grouping by its parts.
 *
 * Columns: pattern (see `unpackPattern`), entry_day (-1: at risk from the start), exit_day, outcome (`eventCode`), cluster (-1: each
 * procedure of the cell is one of its own), procedures. Rows come in a fixed order, so that sums of them are the same on every run.
 */
export function cellsQuery(
  conditions: readonly Fragment[], factors: readonly CodeSql[], ranges: CellRanges, { outcome, cohort, cluster, horizonYears }: Question,
): Query {
  const radices = radicesOf(ranges);
  const days = ranges.lastExit + 1;
  const entries = (ranges.lastEntry ?? -1) + 2;
  const size = possiblePatterns(radices) * entries * days * 4;
  const type = size < 2 ** 32 ? 'UINTEGER' : size < 2 ** 64 ? 'UBIGINT' : 'UHUGEINT';
  const append = (packed: string, radix: number, digit: string) => `(${packed} * ${radix} + (${digit})::${type})`;

  const pattern = factors.reduce((packed, f, i) => append(packed, radices[i]!, `coalesce(${f.code} + 1, 0)`), `0::${type}`);
  const withEntry = entries === 1 ? pattern : append(pattern, entries, 'coalesce(entry_day + 1, 0)');
  const horizon = daysOfYears(horizonYears);
  const event = eventFragment(outcome, cohort.role);
  const packed = append(append(withEntry, days, 'least(exit_day, ?)'), 4, `CASE WHEN exit_day > ? THEN 0 ELSE ${event.sql} END`);
  const where = allOf(conditions);
  const clusters = clusterSql(cluster, where);
  return {
    sql: `${clusters.with.sql}SELECT (packed // ${4 * days * entries})::DOUBLE AS pattern, (packed // ${4 * days} % ${entries})::INTEGER - 1 AS entry_day,
(packed // 4 % ${days})::INTEGER AS exit_day, (packed % 4)::INTEGER AS outcome, cluster, procedures
FROM (SELECT ${packed} AS packed, ${clusters.column} AS cluster, count(*)::INTEGER AS procedures
FROM followup${clusters.join} WHERE ${where.sql} GROUP BY ALL)
ORDER BY packed // ${4 * days}, cluster, packed`,
    params: [...clusters.with.params, horizon, horizon, ...event.params, ...where.params],
  };
}
