import { begins } from '../riskSets';
import type { CoxModel } from './coxModel';

/** What sums over the risk sets need of the cells, pattern by pattern: what is alike in all cells of a pattern is then looked up once. */
export interface MembersByPattern {
  /** Members from the first set of their stratum on, each at its last set. */
  readonly fromStart: CellsOfPatterns;
  /** Those with the event, each at its last set; late entries among them. */
  readonly withEvent: CellsOfPatterns;
  readonly covariates: SparseCovariates;
}

/** Those of pattern p are from `start[p]` to `start[p + 1]`, sets ascending within each stratum. */
export interface CellsOfPatterns {
  readonly start: Int32Array;
  readonly set: Int32Array;
  readonly count: Float64Array;
}

/** The covariates as differences from the usual value of their column, of which most are 0. */
export interface SparseCovariates {
  /** Those of pattern p are from `start[p]` to `start[p + 1]`. */
  readonly start: Int32Array;
  readonly column: Int32Array;
  readonly value: Float64Array;
  /** Per column. */
  readonly usual: Float64Array;
}

const ofModel = new WeakMap<CoxModel, MembersByPattern>();

/** Laid out once for each model. */
export function membersByPattern(model: CoxModel): MembersByPattern {
  const known = ofModel.get(model);
  if (known) return known;
  const { cells: { event }, sets } = model, { leaving: { cells } } = sets;
  const fromStart = new Int32Array(cells.length), withEvent = new Int32Array(cells.length);
  let starting = 0, having = 0;
  for (const i of cells) {
    if (begins(sets, sets.first[i]!)) fromStart[starting++] = i;
    if (event[i] === 1) withEvent[having++] = i;
  }
  const result = {
    fromStart: byPattern(model, fromStart.subarray(0, starting)),
    withEvent: byPattern(model, withEvent.subarray(0, having)),
    covariates: sparseCovariates(model),
  };
  ofModel.set(model, result);
  return result;
}

/** The given cells, in the given order within each pattern. */
function byPattern({ cells: { count }, design: { pattern }, sets: { last }, patterns }: CoxModel, cells: Int32Array): CellsOfPatterns {
  const start = new Int32Array(patterns + 1), set = new Int32Array(cells.length), counts = new Float64Array(cells.length);
  for (const i of cells) start[pattern[i]! + 1]! += 1;
  for (let p = 0; p < patterns; ++p) start[p + 1]! += start[p]!;
  const next = start.slice();
  for (const i of cells) {
    const at = next[pattern[i]!]!++;
    set[at] = last[i]!;
    counts[at] = count[i]!;
  }
  return { start, set, count: counts };
}

function sparseCovariates({ x, columns, patterns }: CoxModel): SparseCovariates {
  const usual = Float64Array.from({ length: columns }, (_, j) => usualValue(x, j, columns));
  const start = new Int32Array(patterns + 1), column: number[] = [], value: number[] = [];
  for (let p = 0; p < patterns; ++p) {
    for (let j = 0; j < columns; ++j) {
      const difference = x[p * columns + j]! - usual[j]!;
      if (difference === 0) continue;
      column.push(j);
      value.push(difference);
    }
    start[p + 1] = column.length;
  }
  return { start, column: Int32Array.from(column), value: Float64Array.from(value), usual };
}

/** The commoner value of a column that has two; else 0, its mean: differences from a far value would lose digits. */
function usualValue(x: Float64Array, j: number, columns: number): number {
  const times = new Map<number, number>();
  for (let at = j; at < x.length && times.size < 3; at += columns) times.set(x[at]!, (times.get(x[at]!) ?? 0) + 1);
  if (times.size > 2) return 0;
  return [...times].reduce((most, entry) => (entry[1] > most[1] ? entry : most), [0, 0])[0];
}
