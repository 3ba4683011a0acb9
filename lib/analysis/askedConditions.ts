import { cohortConditions, hasComponent, type Condition } from '../cohort/conditions';
import { componentLabel } from '../cohort/labels';
import { roleCodes } from '../contract/codes';
import type { Question } from '../contract/question';
import { columnsOf } from '../engine/columns';
import type { Database } from '../engine/database';

export interface AskedConditions { readonly conditions: readonly Condition[]; readonly notes: readonly string[] }

/**
 * Who is in the cohort. Where the extract records no component of the joint at all, whether a procedure has the one asked about is not known: then
 * everybody counts, and it is said, unless the question is about that component's design, model or material.
 */
export async function askedConditions(database: Database, { cohort, compare, horizonYears }: Question): Promise<AskedConditions> {
  const conditions = cohortConditions(cohort, horizonYears), ofComponent = conditions.findIndex(({ sql }) => sql === hasComponent(cohort.role));
  const usesComponent = ['design', 'model', 'material'].includes(compare) || cohort.designs.length + cohort.models.length + cohort.exceptModels.length > 0;
  if (usesComponent || await columnsOf(database).get(`a component of the ${cohort.joint}`, () => anyComponent(database, cohort.joint), () => 1)) return { conditions, notes: [] };
  return {
    conditions: conditions.filter((_, i) => i !== ofComponent),
    notes: [`No component is recorded: whether a procedure has a ${componentLabel(cohort.role)} is not known, and all procedures count.`],
  };
}

async function anyComponent(database: Database, joint: Question['cohort']['joint']): Promise<boolean> {
  const found = await database.query({ sql: `SELECT 1 AS found FROM followup WHERE joint = ? AND (${roleCodes.map(({ code }) => hasComponent(code)).join(' OR ')}) LIMIT 1`, params: [joint] });
  return found.rowCount > 0;
}
