import { codings } from '../cohort/covariate';
import type { Condition } from '../cohort/conditions';
import { unitFactor, unitRecorded } from '../cohort/unit';
import type { Covariate } from '../contract/question';
import type { UnitKind } from '../contract/unitsQuestion';
import type { Database } from '../engine/database';
import { codeExpression, cohortRows, type CohortRows, type Levels } from './rows/cohortRows';
import { usersRecorded } from './usersRecorded';

/** The covariates of a question that the cohort can be adjusted for, and a note on those that are nowhere recorded in it. */
export interface Adjustable { readonly adjust: Covariate[]; readonly notes: readonly string[] }

/** @param factor whatever the cohort is asked for by, so that it is not looked for again */
export async function adjustable(database: Database, conditions: readonly Condition[], asked: readonly Covariate[], factor: Levels | null = null): Promise<Adjustable> {
  if (asked.length === 0) return { adjust: [], notes: [] };
  const rows = await cohortRows(database, conditions, factor), recorded: boolean[] = [];
  for (const covariate of asked) recorded.push(await isRecorded(rows, codings[covariate]));
  const anyone = recorded.includes(true);
  const missing = asked.filter((_, i) => !recorded[i]).map((covariate) => codings[covariate].label);
  return {
    adjust: asked.filter((_, i) => recorded[i]),
    notes: missing.length === 0 ? [] : [`Not adjusted for what is nowhere recorded: ${missing.join(', ')}.${anyone ? '' : ' Nothing is adjusted for.'}`],
  };
}

/** Of someone of the cohort. */
async function isRecorded({ columns, levels }: CohortRows, coding: Levels): Promise<boolean> {
  const { positions, values } = await columns.coded(codeExpression(coding));
  return levels.some((level, row) => level > 0 && !Number.isNaN(values[positions[row]!]!));
}

/** The conditions, with a step that leaves out procedures of which the hospital or surgeon is not recorded where there are any. */
export async function withUnits(database: Database, conditions: readonly Condition[], kind: UnitKind): Promise<readonly Condition[]> {
  const users = await usersRecorded(database, conditions, unitFactor(kind));
  return users[kind] === users.procedures ? conditions : [...conditions, unitRecorded(kind)];
}

/** Why there is no unit to look at: finished sentences. */
export const noUnitReason = (kind: UnitKind, conditions: readonly Condition[]): string => (conditions.some(({ label }) => label === unitRecorded(kind).label)
  ? `No ${kind} is recorded of the procedures that meet these conditions: ${kind}s can’t be compared.` : 'No procedure of the extract meets these conditions.');
