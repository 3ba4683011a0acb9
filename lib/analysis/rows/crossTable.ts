import type { Expression } from '../../engine/columns';
import { addendOf, eachBlock } from './addends';
import { levelAddend, type CohortRows } from './cohortRows';

/** Procedures of a cohort by level and by the value of another expression. */
export interface CrossTable {
  /** The values that the expression can have, ascending, NaN last where null. */
  readonly values: readonly number[];
  /** Procedures at the code of a level (-1: not recorded) and the place of a value. */
  readonly count: (code: number, place: number) => number;
  /** Procedures of all levels at the place of a value. */
  readonly total: (place: number) => number;
}

export async function crossTable(rows: CohortRows, expression: Expression): Promise<CrossTable> {
  const coded = await rows.columns.coded(expression);
  const distinct = [...new Set(coded.values.filter((_, position) => coded.occurs[position] === 1))].sort((a, b) => (Number.isNaN(a) ? 1 : Number.isNaN(b) ? -1 : a - b)), width = distinct.length;
  const placeOf = new Map(distinct.map((value, place) => [value, place])); // a map finds NaN
  const counts = new Float64Array(rows.counts.length * width);
  eachBlock(rows.levels.length, [levelAddend(rows, width), addendOf(coded, (value) => placeOf.get(value)!)], (sums) => { for (let i = 0; i < sums.length; ++i) if (sums[i]! >= 0) counts[sums[i]!]! += 1; });
  return { values: distinct, count: (code, place) => counts[(code + 2) * width + place] ?? 0, total: (place) => rows.counts.reduce((sum, _, level) => sum + counts[level * width + place]!, 0) };
}
