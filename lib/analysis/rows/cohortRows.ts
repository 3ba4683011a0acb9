import type { ComparisonFactor } from '../../cohort/comparison';
import type { Fragment } from '../../cohort/sql';
import { columnsOf, type Coded, type Columns, type Expression, type Positions } from '../../engine/columns';
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

/**
 * Who meets the conditions; without a factor all are of level 0. Cohorts are kept with the columns, and one that asks for more than a kept one is counted from
 * that. Where most conditions are those of the question before, the cohort that they make is kept too: the next change of the same filter starts from it.
 */
export function cohortRows(database: Database, conditions: readonly Fragment[], factor: Levels | null): Promise<CohortRows> {
  const tests = new Map(conditions.map((condition) => [JSON.stringify(expressionOf(condition)), expressionOf(condition)]));
  return rowsThatMeet(columnsOf(database), tests, factor, true);
}

type Tests = ReadonlyMap<string, Expression>;
const asked = new WeakMap<Columns, Map<string, Tests[]>>(); // by factor, the last one first
const remembered = 16;

function rowsThatMeet(columns: Columns, tests: Tests, factor: Levels | null, isAsked: boolean): Promise<CohortRows> {
  const level = factor === null ? null : codeExpression(factor), ofLevel = JSON.stringify(level), ofColumns = asked.get(columns) ?? new Map<string, Tests[]>();
  const keyOf = (of: Tests): string => `rows ${ofLevel} ${[...of.keys()].sort().join(' ')}`, others = (ofColumns.get(ofLevel) ?? []).filter((other) => keyOf(other) !== keyOf(tests));
  asked.set(columns, ofColumns);
  ofColumns.set(ofLevel, [...others.slice(0, isAsked ? 0 : 1), tests, ...others.slice(isAsked ? 0 : 1)].slice(0, remembered));
  return columns.get(keyOf(tests), async () => {
    const within = (other: Tests): Tests => new Map([...tests].filter(([test]) => other.has(test)));
    const shared = others.length === 0 ? new Map<string, Expression>() : within(others[0]!);
    const kept = others.filter((other) => within(other).size === other.size && columns.has(keyOf(other))).reduce<Tests>((most, other) => (other.size > most.size ? other : most), new Map());
    const wider = shared.size > kept.size && 2 * shared.size >= tests.size ? shared : kept;
    if (wider.size > 0 && wider.size < tests.size) {
      const rows = await rowsThatMeet(columns, wider, factor, false), further = [...tests].filter(([test]) => !wider.has(test)).map(([, test]) => test);
      return (level && await narrowedLevels(rows, further, level)) ?? narrowedRows(rows, further);
    }
    return everyRow(columns, [...tests.values()], level);
  }, ({ levels }) => levels.byteLength);
}

async function everyRow(columns: Columns, tests: readonly Expression[], level: Expression | null): Promise<CohortRows> {
  const addends: Addend[] = [];
  for (const test of tests) addends.push(await testAddend(columns, test));
  const { positions: { length } } = await columns.column('exit_day'), coded = level === null ? null : await columns.coded(level), values = coded?.values ?? Float64Array.of(0);
  if (coded !== null) addends.push(addendOf(coded, numberOf));
  const own = coded === null ? 2 : 0, numbers = values.reduce((most, value) => (value > most ? value : most), -1) + 3;
  return { columns, ...levelsOf(length, addends, own, numbers) };
}

/** Those of a cohort who meet further conditions. */
async function narrowedRows(rows: CohortRows, tests: readonly Expression[]): Promise<CohortRows> {
  const addends = [levelAddend(rows, 1)];
  for (const test of tests) addends.push(await testAddend(rows.columns, test));
  return { columns: rows.columns, ...levelsOf(rows.levels.length, addends, 0, rows.counts.length) };
}

/** The same where the level alone decides who meets the conditions, as it does of groups that are compared; else null. */
async function narrowedLevels(rows: CohortRows, tests: readonly Expression[], level: Expression): Promise<CohortRows | null> {
  const { columns, levels, counts } = rows;
  if (level.column === undefined || tests.some(({ column }) => column !== level.column)) return null;
  const { values, occurs } = await columns.coded(level), keeps = counts.map(() => NaN); // by number: 1 where those of the level meet the conditions
  const coded: Coded[] = [];
  for (const test of tests) coded.push(await columns.coded(test));
  for (let position = 0; position < values.length; ++position) {
    if (occurs[position] === 0) continue;
    const number = numberOf(values[position]!), meets = coded.every((test) => test.values[position] === 1) ? 1 : 0;
    if (keeps[number] === 1 - meets) return null;
    keeps[number] = meets;
  }
  if (counts.every((n, number) => n === 0 || keeps[number] === 1)) return rows;
  const newNumbers = Int32Array.from(keeps, (keep, number) => (keep === 1 ? number : 0));
  return { columns, levels: renumbered(levels, newNumbers), counts: counts.map((n, number) => (keeps[number] === 1 ? n : 0)) };
}

function renumbered(levels: Positions, newNumbers: Int32Array): Positions {
  const renumbered = levels.slice();
  for (let row = 0; row < renumbered.length; ++row) renumbered[row] = newNumbers[renumbered[row]!]!;
  return renumbered;
}

/** Of a level in `CohortRows`. */
const numberOf = (value: number): number => (Number.isNaN(value) ? 1 : value + 2);

const testAddend = async (columns: Columns, test: Expression): Promise<Addend> => addendOf(await columns.coded(test), (met) => (met === 1 ? 0 : leftOut));

/** The sum of the addends and `more` as a row's number, below `numbers`; 0 where the sum is negative. */
function levelsOf(length: number, addends: readonly Addend[], more: number, numbers: number): Pick<CohortRows, 'levels' | 'counts'> {
  const levels = numbers <= 2 ** 8 ? new Uint8Array(length) : numbers <= 2 ** 16 ? new Uint16Array(length) : new Int32Array(length), counts = new Float64Array(numbers);
  eachBlock(length, addends, (sums, from) => { takeLevels(levels, counts, sums, from, more); });
  return { levels, counts };
}

function takeLevels(levels: Positions, counts: Float64Array, sums: Int32Array, from: number, more: number): void {
  for (let i = 0; i < sums.length; ++i) {
    const level = sums[i]! + more;
    if (level < more) continue;
    levels[from + i] = level;
    counts[level]! += 1;
  }
}

/** The number of the level, times another; others are left out. */
export const levelAddend = ({ levels, counts }: Pick<CohortRows, 'levels' | 'counts'>, times: number): Addend =>
  ({ positions: levels, adds: Int32Array.from(counts, (_, position) => (position === 0 ? leftOut : position * times)) });

/** The code of a level as an expression. */
export const codeExpression = ({ code, column }: Levels): Expression => ({ sql: code, params: [], ...(column !== undefined && { column }) });

/** What of a condition decides who meets it: its words do not. */
export const expressionOf = ({ sql, params, column }: Fragment): Expression => ({ sql, params, ...(column !== undefined && { column }) });
