import type { Fragment } from '../../cohort/sql';
import { columnsOf, type Positions } from '../../engine/columns';
import type { Database } from '../../engine/database';
import { eachBlock } from './addends';
import { expressionOf } from './cohortRows';

/** For each condition, how many procedures it is the first to leave out: as what it asks for is otherwise, or not recorded. */
export interface LeftOut { readonly otherwise: Float64Array; readonly unrecorded: Float64Array; readonly all: number }

/**
 * What one column makes of a row is the first of its conditions that is not met, 2 × its position and 1 more where it is not recorded. What all columns
 * make of it is the least of these: rows are counted by the combination of them.
 */
export async function leftOutAtSteps(database: Database, conditions: readonly Fragment[]): Promise<LeftOut> {
  const columns = columnsOf(database), met = 2 * conditions.length, firstOf = new Map<Positions, Int32Array>();
  for (const [i, condition] of conditions.entries()) {
    const { positions, values, occurs } = await columns.coded(expressionOf(condition));
    const first = firstOf.get(positions) ?? new Int32Array(values.length).fill(met);
    values.forEach((value, p) => { if (occurs[p] === 1 && value !== 1) first[p] = Math.min(first[p]!, 2 * i + (Number.isNaN(value) ? 1 : 0)); });
    firstOf.set(positions, first);
  }
  let combinations = 1;
  const parts = [...firstOf].map(([positions, first]) => {
    const steps = [...new Set(first)], times = combinations;
    combinations *= steps.length;
    return { positions, steps, times, adds: Int32Array.from(first, (step) => steps.indexOf(step) * times) };
  });
  const { positions: { length: all } } = await columns.column('exit_day'), counts = new Float64Array(combinations);
  eachBlock(all, parts, (sums) => { for (let i = 0; i < sums.length; ++i) counts[sums[i]!]! += 1; });
  const leftOut = { otherwise: new Float64Array(conditions.length), unrecorded: new Float64Array(conditions.length), all };
  counts.forEach((n, combination) => {
    const step = Math.min(met, ...parts.map(({ steps, times }) => steps[Math.floor(combination / times) % steps.length]!));
    if (n > 0 && step < met) (step % 2 === 1 ? leftOut.unrecorded : leftOut.otherwise)[step >> 1]! += n;
  });
  return leftOut;
}
