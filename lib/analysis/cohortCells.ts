import { cellRangesQuery, cellsQuery, patternRadices, unpackPattern, type CellRanges } from '../cohort/cells';
import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import type { Coding } from '../cohort/covariate';
import type { Fragment } from '../cohort/sql';
import type { Question } from '../contract/question';
import type { Database } from '../engine/database';
import type { Cells } from '../stats/cells';

/** The cohort by cells. Patterns are numbered densely from 0. */
export interface CohortCells {
  readonly cells: Cells;
  /** Per cell: the group, by its position among those compared. */
  readonly group: Int32Array;
  /** Per cell: the pattern of group and factors. */
  readonly pattern: Int32Array;
  /** Per pattern: its group. */
  readonly groupOfPattern: Int32Array;
}

export interface ReducedCohort {
  readonly cohort: CohortCells;
  /** Per factor, per pattern: the code of the level; -1: not recorded. */
  readonly codes: readonly Int32Array[];
}

type CodeSql = Pick<Coding, 'code'>;

/** Reduces the cohort in the database; follow-up is censored at the horizon. Competing events keep their codes of `eventCode`. */
export async function cohortCells(
  database: Database, conditions: readonly Fragment[], comparison: ComparisonFactor, groups: readonly ComparedGroup[],
  factors: readonly CodeSql[], question: Question,
): Promise<ReducedCohort> {
  const all = [comparison, ...factors];
  const ranges = await cellRanges(database, conditions, all, question.horizonYears);
  const result = await database.query(cellsQuery(conditions, all, ranges, question));
  const { place: pattern, distinct } = numbered(result.numbers('pattern'));
  const unpacked = distinct.map((packed) => unpackPattern(packed, patternRadices(ranges)));
  const groupOfPattern = Int32Array.from(unpacked, ([code]) => groups.findIndex((group) => group.code === code));
  const entry = result.numbers('entry_day');
  return {
    cohort: {
      cells: {
        exit: result.numbers('exit_day'),
        event: Uint8Array.from(result.numbers('outcome')),
        count: result.numbers('procedures'),
        ...(entry.some((day) => day >= 0) && { entry: entry.map((day) => (day < 0 ? -Infinity : day)) }),
        ...clustersOf(question, result.numbers('cluster')),
      },
      group: Int32Array.from(pattern, (p) => groupOfPattern[p]!),
      pattern,
      groupOfPattern,
    },
    codes: factors.map((_, f) => Int32Array.from(unpacked, (codes) => codes[f + 1]!)),
  };
}

/** Where no hospital or surgeon is recorded at all there are no clusters of them; patients are their own where they are not known. */
function clustersOf({ cluster }: Question, numbers: Float64Array): Pick<Cells, 'cluster'> {
  if (cluster === 'none' || (cluster !== 'patient' && numbers.every((number) => number < 0))) return {};
  return { cluster: Int32Array.from(numbers) };
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

/** Numbers distinct values from 0 in order of appearance. */
function numbered(values: Float64Array): { place: Int32Array; distinct: readonly number[] } {
  const placeOf = new Map<number, number>();
  const place = Int32Array.from(values, (value) => {
    const known = placeOf.get(value);
    if (known !== undefined) return known;
    placeOf.set(value, placeOf.size);
    return placeOf.size - 1;
  });
  return { place, distinct: [...placeOf.keys()] };
}
