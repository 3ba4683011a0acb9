import { attritionQuery } from '../cohort/attrition';
import type { Condition } from '../cohort/conditions';
import type { Database } from '../engine/database';
import type { AttritionStep } from './result';

/** The way from all procedures of the extract to those that meet every condition. */
export async function attrition(database: Database, conditions: readonly Condition[]): Promise<readonly AttritionStep[]> {
  const result = await database.query(attritionQuery(conditions));
  const steps = result.numbers('step'), procedures = result.numbers('procedures');
  const leftOut = new Float64Array(conditions.length);
  let total = 0;
  steps.forEach((step, row) => {
    total += procedures[row]!;
    if (step < leftOut.length) leftOut[step] = procedures[row]!;
  });
  let remaining = total;
  return [
    { label: 'Procedures in the extract', excluded: 0, remaining },
    ...conditions.map(({ label }, i) => ({ label, excluded: leftOut[i]!, remaining: (remaining -= leftOut[i]!) })),
  ];
}
