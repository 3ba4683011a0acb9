import type { Question } from '../contract/question';
import type { Query } from '../engine/database';
import { daysOfYears } from './days';
import { eventFragment } from './outcome';
import { allOf, type Fragment } from './sql';

/** Procedures with the event of interest up to the horizon, by their keys. Columns: procedure_id, procedure_date, days, kind, reason (null: not recorded). */
export function ownCasesQuery(conditions: readonly Fragment[], { outcome, cohort: { role }, horizonYears }: Question): Query {
  const where = allOf(conditions), event = eventFragment(outcome, role);
  return {
    sql: `SELECT procedure_id, procedure_date, days, kind, reason
FROM (SELECT procedure, exit_day AS days, kind::VARCHAR AS kind, reason::VARCHAR AS reason FROM followup
  WHERE ${where.sql} AND exit_day <= ? AND ${event.sql} = 1)
JOIN (SELECT procedure, procedure_id, procedure_date FROM procedures) USING (procedure) ORDER BY procedure_date, procedure_id`,
    params: [...where.params, daysOfYears(horizonYears), ...event.params],
  };
}
