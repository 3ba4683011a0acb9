import type { Condition } from '../cohort/conditions';
import type { Database } from '../engine/database';
import type { AttritionStep } from './result';
import { leftOutAtSteps } from './rows/leftOutAtSteps';

/**
 * The way from all procedures of the extract to those that meet every condition. Those of which it is not recorded whether they meet one are
 * left out in a step of their own before it.
 */
export async function attrition(database: Database, conditions: readonly Condition[]): Promise<readonly AttritionStep[]> {
  const { otherwise, unrecorded, all } = await leftOutAtSteps(database, conditions);
  let remaining = all;
  const left = (label: string, excluded: number): AttritionStep => ({ label, excluded, remaining: (remaining -= excluded) });
  return [
    left('Procedures in the extract', 0),
    ...conditions.flatMap(({ label, what = label }, i) =>
      [...(unrecorded[i]! > 0 ? [left(`${what} recorded`, unrecorded[i]!)] : []), left(label, otherwise[i]!)]),
  ];
}
