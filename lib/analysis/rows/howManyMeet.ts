import { unpackPattern } from '../../cohort/patterns';
import type { Expression } from '../../engine/columns';
import type { CohortRows } from './cohortRows';
import { combinations } from './combinations';

/** Procedures of a cohort that meet each of a few conditions, which may overlap; counted in one pass. */
export async function howManyMeet({ columns, levels, counts: ofLevels }: CohortRows, conditions: readonly Expression[]): Promise<readonly number[]> {
  const { numbers, packed, radices } = await combinations(columns, conditions), counts = new Int32Array(packed.length);
  if (packed.length === 1) counts[0] = ofLevels.reduce((sum, n) => sum + n, 0); // all are alike
  else for (let row = 0; row < levels.length; ++row) if (levels[row]! > 0) counts[numbers[row]!]! += 1;
  return conditions.map((_, c) => counts.reduce((sum, n, number) => (unpackPattern(packed[number]!, radices)[c] === 1 ? sum + n : sum), 0));
}
