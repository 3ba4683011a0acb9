import { cohortConditions } from '../../../lib/cohort/conditions';
import { comparisonFactor } from '../../../lib/cohort/comparison';
import { codings } from '../../../lib/cohort/covariate';
import { daysOfYears } from '../../../lib/cohort/days';
import { allOf } from '../../../lib/cohort/sql';
import type { Question } from '../../../lib/contract/question';
import type { Database, Query } from '../../../lib/engine/database';

/** A value per procedure of the cohort; entry −1: from the start, and any code −1: not recorded. */
export type Rows = Readonly<Record<string, Int32Array>>;

const eventSql = (horizon: number): string => `CASE WHEN exit_day <= ${horizon} AND ending = 'revision' THEN 1 ELSE 0 END`;

/** The procedures of a question one by one: what R is given, and what is counted without a database. */
export async function rowsOf(database: Database, question: Question): Promise<Rows> {
  const { code } = comparisonFactor(question), { sql, params } = allOf(cohortConditions(question.cohort, question.horizonYears)), horizon = daysOfYears(question.horizonYears);
  const columns = {
    entry: 'coalesce(entry_day, -1)', exit: `least(exit_day, ${horizon})`, event: eventSql(horizon), group: code,
    ...Object.fromEntries(question.adjust.map((covariate) => [covariate, `coalesce(${codings[covariate].code}, -1)`])),
  };
  const rows: Record<string, Int32Array> = {};
  for (const [name, column] of Object.entries(columns)) { // column by column, which needs less memory
    const result = await database.query({ sql: `SELECT (${column})::INTEGER AS value FROM followup WHERE ${sql} AND ${code} IS NOT NULL`, params });
    rows[name] = Int32Array.from(result.numbers('value'));
  }
  return rows;
}

/** Nothing but the grouped counts of the five curves' question, by one packed key. */
export function groupedQuery(question: Question): Query {
  const { code } = comparisonFactor(question), { sql, params } = allOf(cohortConditions(question.cohort, question.horizonYears)), horizon = daysOfYears(question.horizonYears);
  const pattern = `((${code})::UINTEGER * 5 + (coalesce(${codings.age.code}, 4))::UINTEGER) * 3 + (coalesce(${codings.sex.code}, 2))::UINTEGER`;
  return {
    sql: `SELECT ((${pattern}) * ${horizon + 1} + least(exit_day, ${horizon})::UINTEGER) * 2 + (${eventSql(horizon)})::UINTEGER AS packed, count(*)::INTEGER AS procedures
FROM followup WHERE ${sql} AND ${code} IS NOT NULL GROUP BY packed`,
    params,
  };
}

/** One pass over packed columns, a count for every pattern, day and event. */
export function countingPass({ exit, event, group, age, sex }: Rows, horizonYears: number): () => Float64Array {
  const days = daysOfYears(horizonYears) + 1, groups = 1 + group!.reduce((most, g) => Math.max(most, g), 0);
  const day = Uint16Array.from(exit!), revised = Uint8Array.from(event!), g = Uint8Array.from(group!), a = Int8Array.from(age!), s = Int8Array.from(sex!);
  return () => {
    const counts = new Float64Array(groups * 15 * days * 2);
    for (let i = 0; i < day.length; ++i) ++counts[(((g[i]! * 5 + a[i]! + 1) * 3 + s[i]! + 1) * days + day[i]!) * 2 + revised[i]!]!;
    return counts;
  };
}
