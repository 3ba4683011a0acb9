import {
  designClassCodes, fixationCodes, indicationCodes, jointCodes, labelOf, procedureClassCodes, sexCodes, type Code, type Role,
} from '../contract/codes';
import type { Cohort, ProcedureCohort } from '../contract/question';
import { quoteName } from '../engine/database';
import { componentColumn } from '../engine/followupTable';
import { daysOfYears } from './days';
import { componentLabel, fixationLabel } from './labels';
import { isOneOf, type Fragment } from './sql';

/** A step of the way to the cohort, with the words for it. */
export interface Condition extends Fragment {
  readonly label: string;
  /** What has to be recorded to tell. */
  readonly what?: string;
}

const listed = (what: string, column: string, values: readonly string[], codes: readonly Code[]): readonly Condition[] =>
  values.length === 0 ? [] : [{ what, label: `${what}: ${values.map((v) => labelOf(codes, v)).join(', ')}`, ...isOneOf(column, values) }];

const without = (column: string, models: readonly string[]): readonly Condition[] => {
  const { sql, params } = isOneOf(column, models);
  return models.length === 0 ? [] : [{ what: 'Model', label: `Without ${models.length === 1 ? 'model' : 'models'} ${models.join(', ')}`, sql: `NOT (${sql})`, params, column }];
};

const ranged = (what: string, column: string, from: number | null, to: number | null, open: string): readonly Condition[] => {
  const name = quoteName(column);
  if (from !== null && to !== null) return [{ what, label: `${what}: ${from}–${to}`, sql: `${name} BETWEEN ? AND ?`, params: [from, to], column }];
  if (from !== null) return [{ what, label: `${what}: ${from} ${open}`, sql: `${name} >= ?`, params: [from], column }];
  if (to !== null) return [{ what, label: `${what}: up to ${to}`, sql: `${name} <= ?`, params: [to], column }];
  return [];
};

const who = (cohort: ProcedureCohort): readonly Condition[] => [
  ...listed('Class', 'class', cohort.classes, procedureClassCodes),
  ...listed('Indication', 'indication', cohort.indications, indicationCodes),
  ...listed('Sex', 'sex', cohort.sexes, sexCodes),
  ...ranged('Age', 'age', cohort.minAge, cohort.maxAge, 'and over'),
  ...ranged('Year', 'year', cohort.firstYear, cohort.lastYear, 'and later'),
  ...listed(fixationLabel(cohort.joint, 'proximal'), 'proximal_fixation', cohort.proximalFixations, fixationCodes),
  ...listed(fixationLabel(cohort.joint, 'distal'), 'distal_fixation', cohort.distalFixations, fixationCodes),
];

const ofJoint = ({ joint }: ProcedureCohort) => listed('Joint', 'joint', [joint], jointCodes);

/** A component is known by its model, by its design class, or by both. */
export const hasComponent = (role: Role): string =>
  `(${quoteName(componentColumn(role, 'model'))} IS NOT NULL OR ${quoteName(componentColumn(role, 'design'))} IS NOT NULL)`;

const observed = (horizonYears: number): Condition => ({
  label: `Observed at some time within ${horizonYears} ${horizonYears === 1 ? 'year' : 'years'}`,
  sql: '(entry_day IS NULL OR (entry_day < exit_day AND entry_day < ?))',
  params: [daysOfYears(horizonYears)],
});

/** Which procedures of `followup` count, whatever was implanted, step by step in reading order. Steps that restrict nothing are left out. */
export const procedureConditions = (cohort: ProcedureCohort, horizonYears: number): readonly Condition[] =>
  [...ofJoint(cohort), ...who(cohort), observed(horizonYears)];

/**
 * Which procedures of `followup` count, step by step in reading order: joint, component, class, indication, sex, age, year,
 * fixation, design, model, models left out, and being observed at some time before the horizon. Steps that restrict nothing are left out.
 */
export const cohortConditions = (cohort: Cohort, horizonYears: number): readonly Condition[] => [
  ...ofJoint(cohort),
  {
    label: `With a ${componentLabel(cohort.role)}`,
    sql: hasComponent(cohort.role),
    params: [],
  },
  ...who(cohort),
  ...listed('Design class', componentColumn(cohort.role, 'design'), cohort.designs, designClassCodes),
  ...listed('Model', componentColumn(cohort.role, 'model'), cohort.models, []),
  ...without(componentColumn(cohort.role, 'model'), cohort.exceptModels),
  observed(horizonYears),
];
