import type { MonitoringQuestion } from '../contract/monitoringQuestion';
import { labelOf, designClassCodes } from '../contract/codes';
import { quoteName, type Query } from '../engine/database';
import { componentColumn } from '../engine/followupTable';
import { procedureConditions, type Condition } from './conditions';
import { daysOfYears } from './days';
import { componentLabel } from './labels';
import { eventFragment } from './outcome';
import { allOf, enumCode, type Fragment } from './sql';
import type { Coding } from './covariate';

/** What tells the charts apart: hospital, surgeon, or model of a component. `code`: SQL of a whole number, `key`: SQL of what it is called by. */
export interface MonitoredFactor { readonly code: string; readonly key: string }

export const monitoredFactor = ({ kind, role }: MonitoringQuestion): MonitoredFactor => {
  const column = kind === 'component' ? componentColumn(role, 'model') : kind;
  return { code: enumCode(column), key: `${quoteName(column)}::VARCHAR` };
};

/**
 * Which procedures count, until `lastDay` (days from 1970-01-01). Of a component: those with one of its design class (null: of which it is not
 * recorded; undefined: of any).
 */
export function monitoredConditions(question: MonitoringQuestion, lastDay: number, design: string | null | undefined): readonly Condition[] {
  const { kind, role, cohort, horizonYears } = question, [joint, ...others] = procedureConditions(cohort, horizonYears);
  const implanted: readonly Condition[] = kind !== 'component' ? [] : [
    { label: `With a ${componentLabel(role)} of a known model`, sql: `${quoteName(componentColumn(role, 'model'))} IS NOT NULL`, params: [] },
    ...(design === undefined ? [] : design === null ? [{ label: 'Design class not recorded', sql: `${quoteName(componentColumn(role, 'design'))} IS NULL`, params: [] }] : [{ label: `Design class: ${labelOf(designClassCodes, design)}`, sql: `${quoteName(componentColumn(role, 'design'))} = ?`, params: [design] }]),
  ];
  return [
    joint!, ...implanted, ...others,
    { label: 'Operated and observed by the last day of the chart', sql: '(procedure_day <= ? AND (entry_day IS NULL OR entry_day < ? - procedure_day))', params: [lastDay, lastDay] },
  ];
}

/** One row per hospital, surgeon or model, in the order of identifiers. Columns: code, key, procedures, first_day (of its first procedure). */
export function monitoredQuery(conditions: readonly Fragment[], { code, key }: MonitoredFactor): Query {
  const where = allOf(conditions);
  return {
    sql: `SELECT ${code} AS code, any_value(${key}) AS key, count(*)::INTEGER AS procedures, min(procedure_day)::INTEGER AS first_day
FROM followup WHERE ${where.sql} AND ${code} IS NOT NULL GROUP BY ${code} ORDER BY code`,
    params: where.params,
  };
}

/** The design classes that a component's models have in the extract, most procedures first. Columns: design (null: not recorded), procedures. */
export function designsQuery(conditions: readonly Fragment[], { role, model }: Pick<MonitoringQuestion, 'role' | 'model'>): Query {
  const where = allOf(conditions), design = quoteName(componentColumn(role, 'design'));
  return {
    sql: `SELECT ${design}::VARCHAR AS design, count(*)::INTEGER AS procedures FROM followup
WHERE ${where.sql}${model === null ? '' : ` AND ${quoteName(componentColumn(role, 'model'))} = ?`} GROUP BY 1 ORDER BY procedures DESC, design`,
    params: [...where.params, ...(model === null ? [] : [model])],
  };
}

/**
 * Follow-up until the horizon or the calendar day `lastDay`, whichever is first, by counts. Columns: unit, surgery (calendar day), factor_0 …
 * (code of each factor; -1: not recorded), entry_day (-1: at risk from the start), exit_day, outcome (`eventCode`), procedures. `unit`: SQL of a
 * whole number; surgery is 0 throughout where `bySurgery` is false. Rows come in a fixed order, so that sums of them are the same on every run.
 */
export function monitoredCellsQuery(
  conditions: readonly Fragment[], factors: readonly Pick<Coding, 'code'>[], unit: string, bySurgery: boolean, lastDay: number, { outcome, role, horizonYears }: MonitoringQuestion,
): Query {
  const where = allOf(conditions), event = eventFragment(outcome, role);
  const reach = `least(${daysOfYears(horizonYears)}, ${lastDay} - procedure_day)`;
  return {
    sql: `SELECT ${unit} AS unit, ${bySurgery ? 'procedure_day' : '0'}::INTEGER AS surgery${factors.map((f, i) => `, coalesce(${f.code}, -1)::INTEGER AS factor_${i}`).join('')},
coalesce(entry_day, -1)::INTEGER AS entry_day, least(exit_day, ${reach})::INTEGER AS exit_day, CASE WHEN exit_day > ${reach} THEN 0 ELSE ${event.sql} END::INTEGER AS outcome,
count(*)::INTEGER AS procedures
FROM followup WHERE ${where.sql} GROUP BY ALL ORDER BY ALL`,
    params: [...event.params, ...where.params],
  };
}

/** SQL of the unit's own number where it is one of these, -1 otherwise. */
export const apartCode = (code: string, apart: readonly number[]): string =>
  (apart.length === 0 ? '-1' : `CASE WHEN ${code} IN (${apart.join(', ')}) THEN ${code} ELSE -1 END`);
