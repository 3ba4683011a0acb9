import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import type { Coding } from '../cohort/covariate';
import { unpackPattern } from '../cohort/patterns';
import type { Fragment } from '../cohort/sql';
import type { Question } from '../contract/question';
import type { Database } from '../engine/database';
import type { Cells } from '../stats/cells';
import { taken } from '../stats/subset';
import type { CompetingEvents } from './rows/endsOfFollowUp';
import { reduceRows, type PackedCells } from './rows/reduceRows';

/** The cohort by cells. Patterns are numbered densely from 0. */
export interface CohortCells {
  readonly cells: Cells;
  /** Per cell: the group, by its position among those compared. */
  readonly group: Int32Array;
  /** Per cell: the pattern of group and factors. */
  readonly pattern: Int32Array;
  /** Per pattern: its group. */
  readonly groupOfPattern: Int32Array;
  /** Competing events count as the end of follow-up; default: each has its code of `eventCode`. */
  readonly competing?: 'together';
}

export interface ReducedCohort {
  readonly cohort: CohortCells;
  /** Per factor, per pattern: the code of the level; -1: not recorded. */
  readonly codes: readonly Int32Array[];
}

type CodeSql = Pick<Coding, 'code' | 'column'>;

/**
 * Reduces the cohort to counts, no two cells alike; follow-up is censored at the horizon. Conditions leave only procedures of the groups.
 */
export async function cohortCells(
  database: Database, conditions: readonly Fragment[], comparison: ComparisonFactor, groups: readonly ComparedGroup[],
  factors: readonly CodeSql[], question: Question, competing: CompetingEvents = 'apart',
): Promise<ReducedCohort> {
  const reduced = reducedCohort(await reduceRows(database, conditions, comparison, factors, question, competing), groups, question);
  return competing === 'apart' ? reduced : { ...reduced, cohort: { ...reduced.cohort, competing } };
}

/** Of the patterns that can be, only those that occur are numbered. */
export function reducedCohort({ cells, packed, radices }: PackedCells, groups: readonly ComparedGroup[], question: Question): ReducedCohort {
  const { place: pattern, distinct } = numbered(cells.pattern);
  const unpacked = distinct.map((number) => unpackPattern(packed[number]!, radices));
  const groupOfPattern = Int32Array.from(unpacked, ([code]) => groups.findIndex((group) => group.code === code));
  return {
    cohort: {
      cells: {
        exit: cells.exit,
        event: cells.outcome,
        count: cells.procedures,
        ...(cells.entry?.some((day) => day >= 0) && { entry: cells.entry }),
        ...clustersOf(question, cells.cluster),
      },
      group: taken(groupOfPattern, pattern, new Int32Array(pattern.length)),
      pattern,
      groupOfPattern,
    },
    codes: unpacked[0]?.slice(1).map((_, f) => Int32Array.from(unpacked, (codes) => codes[f + 1]!)) ?? radices.slice(1).map(() => new Int32Array(0)),
  };
}

/** Where no hospital or surgeon is recorded at all there are no clusters of them; patients are their own where they are not known. */
function clustersOf({ cluster }: Question, numbers: Int32Array | null): Pick<Cells, 'cluster'> {
  if (numbers === null || (cluster !== 'patient' && numbers.every((number) => number < 0))) return {};
  return { cluster: numbers };
}

/** Numbers the values of an ascending list from 0. */
function numbered(values: Int32Array): { place: Int32Array; distinct: readonly number[] } {
  const place = new Int32Array(values.length), distinct: number[] = [];
  for (let i = 0; i < values.length; ++i) {
    if (i === 0 || values[i] !== values[i - 1]) distinct.push(values[i]!);
    place[i] = distinct.length - 1;
  }
  return { place, distinct };
}
