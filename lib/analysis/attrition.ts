import { attritionQuery } from '../cohort/attrition';
import type { Condition } from '../cohort/conditions';
import type { Database } from '../engine/database';
import type { AttritionStep } from './result';

/**
 * The way from all procedures of the extract to those that meet every condition. Those of which it is not recorded whether they meet one are
 * left out in a step of their own before it.
 */
export async function attrition(database: Database, conditions: readonly Condition[]): Promise<readonly AttritionStep[]> {
  const result = await database.query(attritionQuery(conditions));
  const steps = result.numbers('step'), unrecorded = result.numbers('unrecorded'), procedures = result.numbers('procedures');
  const leftOut = (step: number, notRecorded: number): number => procedures.find((_, row) => steps[row] === step && unrecorded[row] === notRecorded) ?? 0;
  let remaining = procedures.reduce((sum, n) => sum + n, 0);
  const left = (label: string, excluded: number): AttritionStep => ({ label, excluded, remaining: (remaining -= excluded) });
  return [
    left('Procedures in the extract', 0),
    ...conditions.flatMap(({ label, what = label }, i) => {
      const notRecorded = leftOut(i, 1);
      return [...(notRecorded > 0 ? [left(`${what} recorded`, notRecorded)] : []), left(label, leftOut(i, 0))];
    }),
  ];
}
