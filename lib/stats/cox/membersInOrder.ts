import { begins } from '../riskSets';
import type { CoxModel } from './coxModel';

/**
 * What sums over the risk sets need of the cells, in the order of their last set: read from front to back it takes a fraction of the time. Cells that
 * are in no set are not among them.
 */
export interface MembersInOrder {
  /** Those whose last set is k are from `start[k]` to `start[k + 1]`. */
  readonly start: Int32Array;
  readonly pattern: Int32Array;
  readonly count: Float64Array;
  /** 1: a member from the first set of its stratum on. */
  readonly fromStart: Uint8Array;
  /** 1: has the event, in its last set. */
  readonly hasEvent: Uint8Array;
  readonly covariates: SparseCovariates;
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

const ofModel = new WeakMap<CoxModel, MembersInOrder>();

/** Laid out once for each model. */
export function membersInOrder(model: CoxModel): MembersInOrder {
  const known = ofModel.get(model);
  if (known) return known;
  const { cells: { count, event }, design, sets } = model, { leaving: { start, cells } } = sets, size = cells.length;
  const members = { start, pattern: new Int32Array(size), count: new Float64Array(size), fromStart: new Uint8Array(size), hasEvent: new Uint8Array(size) };
  for (let b = 0; b < size; ++b) {
    const i = cells[b]!;
    members.pattern[b] = design.pattern[i]!;
    members.count[b] = count[i]!;
    members.fromStart[b] = begins(sets, sets.first[i]!) ? 1 : 0;
    members.hasEvent[b] = event[i] === 1 ? 1 : 0;
  }
  const result = { ...members, covariates: sparseCovariates(model) };
  ofModel.set(model, result);
  return result;
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
