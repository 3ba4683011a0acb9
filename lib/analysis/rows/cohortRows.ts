import type { ComparisonFactor } from '../../cohort/comparison';
import type { Fragment } from '../../cohort/sql';
import { columnsOf, type Columns, type Expression, type Positions } from '../../engine/columns';
import type { Database } from '../../engine/database';
import { addendOf, eachBlock, leftOut, type Addend } from './addends';

/** Who is in a cohort, row by row of `followup`. */
export interface CohortRows {
  readonly columns: Columns;
  /** Per row: 0: not in the cohort; 1: its level is not recorded; two more than the code of its level. */
  readonly levels: Positions;
  /** Per such number: procedures of the cohort. */
  readonly counts: Float64Array;
}

export type Levels = Pick<ComparisonFactor, 'code' | 'column'>;

/** Who meets the conditions; without a factor all are of level 0. The last few cohorts are kept with the columns. */
export function cohortRows(database: Database, conditions: readonly Fragment[], factor: Levels | null): Promise<CohortRows> {
  const columns = columnsOf(database), tests = conditions.map(expressionOf), level = factor === null ? null : codeExpression(factor);
  return columns.get(`rows ${JSON.stringify([tests, level])}`, async () => {
    const addends: Addend[] = [];
    for (const test of tests) addends.push(addendOf(await columns.coded(test), (met) => (met === 1 ? 0 : leftOut)));
    const { positions: { length } } = await columns.column('exit_day'), coded = level === null ? null : await columns.coded(level), values = coded?.values ?? Float64Array.of(0);
    if (coded !== null) addends.push(addendOf(coded, (value) => (Number.isNaN(value) ? 1 : value + 2)));
    const own = coded === null ? 2 : 0, counts = new Float64Array(values.reduce((most, value) => (value > most ? value : most), -1) + 3);
    const levels = counts.length <= 2 ** 8 ? new Uint8Array(length) : counts.length <= 2 ** 16 ? new Uint16Array(length) : new Int32Array(length);
    eachBlock(length, addends, (sums, from) => {
      for (let i = 0; i < sums.length; ++i) {
        if (sums[i]! < 0) continue;
        levels[from + i] = sums[i]! + own;
        counts[sums[i]! + own]! += 1;
      }
    });
    return { columns, levels, counts };
  }, ({ levels }) => levels.byteLength);
}

/** The code of a level as an expression. */
export const codeExpression = ({ code, column }: Levels): Expression => ({ sql: code, params: [], ...(column !== undefined && { column }) });

/** What of a condition decides who meets it: its words do not. */
export const expressionOf = ({ sql, params, column }: Fragment): Expression => ({ sql, params, ...(column !== undefined && { column }) });
