import type { UnitKind } from '../contract/unitsQuestion';
import type { Query } from '../engine/database';
import type { ComparisonFactor } from './comparison';
import { allOf, type Fragment } from './sql';

/** Of the procedures, and of their first revisions. */
const counted = {
  procedures: 'true',
  no_asa: 'asa IS NULL',
  no_bmi: 'bmi IS NULL',
  no_approach: 'approach IS NULL',
  no_fixation: '(proximal_fixation IS NULL OR distal_fixation IS NULL)',
  first_of_month: "day(DATE '1970-01-01' + procedure_day) = 1",
  late_entry: 'entry_day IS NOT NULL',
  ended_early: "(ending = 'censored' AND procedure_day + exit_day < ?)",
  recent: 'procedure_day > ? - 365',
  revisions: "ending = 'revision'",
  no_reason: "(ending = 'revision' AND reason IS NULL)",
  same_day: "(ending = 'revision' AND exit_day = 0)",
  linked_otherwise: "(ending = 'revision' AND procedure IN (SELECT procedure FROM revisions WHERE counts_as = 'first_revision' AND NOT linked_by_id))",
} as const;
export type QualityCount = keyof typeof counted | 'units' | 'without_revision';

/**
 * What to look at before any claim, a row per group. Columns: code and every `QualityCount`; `units`: hospitals or surgeons, `without_revision`: those
 * of them without any. `closingDay`: days from 1970-01-01.
 */
export function unitQualityQuery(conditions: readonly Fragment[], factor: ComparisonFactor, kind: UnitKind, closingDay: number): Query {
  const { sql, params } = allOf(conditions);
  const columns = Object.entries(counted).map(([name, condition]) => `count(*) FILTER (WHERE ${condition})::INTEGER AS ${name}`);
  const perUnit = (name: string): string => `sum(${name})::INTEGER AS ${name}`;
  return {
    sql: `WITH per_unit AS (SELECT ${factor.code} AS code, ${kind}, ${columns.join(', ')} FROM followup WHERE ${sql} GROUP BY ALL)
SELECT code, ${Object.keys(counted).map(perUnit).join(', ')}, count(*)::INTEGER AS units, count(*) FILTER (WHERE revisions = 0)::INTEGER AS without_revision
FROM per_unit GROUP BY code ORDER BY code`,
    params: [closingDay, closingDay, ...params],
  };
}
