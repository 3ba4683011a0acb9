import type { CountedCells } from '@/lib/analysis/rows/cellList';
import type { PackedCells } from '@/lib/analysis/rows/reduceRows';
import type { Coding } from '@/lib/cohort/covariate';
import type { Fragment } from '@/lib/cohort/sql';
import type { Question } from '@/lib/contract/question';
import type { Database } from '@/lib/engine/database';
import { cellRangesQuery, cellsQuery, radicesOf, type CellRanges } from '../../cohort/oracle/cells';

type CodeSql = Pick<Coding, 'code'>;

/** The cohort by cells, counted by the database. */
export async function cellsOfDatabase(database: Database, conditions: readonly Fragment[], factors: readonly CodeSql[], question: Question): Promise<PackedCells> {
  const ranges = await cellRanges(database, conditions, factors, question.horizonYears);
  const result = await database.query(cellsQuery(conditions, factors, ranges, question));
  const patterns = result.numbers('pattern'), packed = Float64Array.from(new Set(patterns)), numberOf = new Map([...packed].map((value, number) => [value, number]));
  const cells: CountedCells = {
    pattern: Int32Array.from(patterns, (value) => numberOf.get(value)!), exit: result.numbers('exit_day'), procedures: result.numbers('procedures'),
    entry: result.numbers('entry_day').map((day) => (day < 0 ? -Infinity : day)),
    outcome: Uint8Array.from(result.numbers('outcome')),
    cluster: question.cluster === 'none' ? null : Int32Array.from(result.numbers('cluster')),
  };
  return { cells, packed, radices: radicesOf(ranges) };
}

async function cellRanges(
  database: Database, conditions: readonly Fragment[], factors: readonly CodeSql[], horizonYears: number,
): Promise<CellRanges> {
  const result = await database.query(cellRangesQuery(conditions, factors, horizonYears));
  const highest = (name: string) => {
    const value = result.numbers(name)[0];
    return value === undefined || Number.isNaN(value) ? null : value;
  };
  return { lastExit: highest('last_exit') ?? 0, lastEntry: highest('last_entry'), lastCodes: factors.map((_, i) => highest(`last_${i}`)) };
}
