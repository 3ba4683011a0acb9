import type { SparseCovariates } from './sparseCovariates';

/** Numbers of procedures by pattern and risk set. */
export interface CountsBySet {
  /** Per set, Σ over patterns of weight · number; after these, column by column, Σ of weight · (x − usual x) · number: (1 + columns) × sets. */
  overPatterns(weight: Float64Array, covariates: SparseCovariates): Float64Array;
  /** Per pattern, Σ over sets of value · number. */
  overSets(value: Float64Array): Float64Array;
}

/** The numbers of one pattern. */
interface OfPattern {
  /** Adds weight · number to the entry of each set in `sums`, in which those of the sets begin at `from`. */
  readonly add: (pattern: number, weight: number, sums: Float64Array, from: number) => void;
  /** Σ over sets of value · number. */
  readonly total: (pattern: number, value: Float64Array) => number;
}

/** Where few patterns have a number in a set: those of pattern p are from `start[p]` to `start[p + 1]`. */
export interface SingleCounts {
  readonly start: Int32Array;
  readonly set: Int32Array;
  readonly count: Float64Array;
}

export const singleCounts = ({ start, set, count }: SingleCounts, sets: number): CountsBySet => countsOf(start.length - 1, sets, {
  add(p, weight, sums, from) {
    for (let b = start[p]!, end = start[p + 1]!; b < end; ++b) sums[from + set[b]!]! += weight * count[b]!;
  },
  total(p, value) {
    let sum = 0;
    for (let b = start[p]!, end = start[p + 1]!; b < end; ++b) sum += value[set[b]!]! * count[b]!;
    return sum;
  },
});

/** Where most patterns have a number in most sets: that of pattern p begins with set `first[p]`, and is from `start[p]` to `start[p + 1]`. */
export interface RowsOfCounts {
  readonly start: Int32Array;
  readonly first: Int32Array;
  readonly count: Float64Array;
}

export const rowsOfCounts = ({ start, first, count }: RowsOfCounts, sets: number): CountsBySet => countsOf(start.length - 1, sets, {
  add(p, weight, sums, from) {
    for (let b = start[p]!, end = start[p + 1]!, to = from + first[p]!; b < end; ++b, ++to) sums[to]! += weight * count[b]!;
  },
  total(p, value) {
    let sum = 0;
    for (let b = start[p]!, end = start[p + 1]!, k = first[p]!; b < end; ++b, ++k) sum += value[k]! * count[b]!;
    return sum;
  },
});

function countsOf(patterns: number, sets: number, { add, total }: OfPattern): CountsBySet {
  return {
    overPatterns(weight, { start, column, value, usual }) {
      const sums = new Float64Array((1 + usual.length) * sets);
      for (let p = 0; p < weight.length; ++p) {
        add(p, weight[p]!, sums, 0);
        for (let z = start[p]!; z < start[p + 1]!; ++z) add(p, weight[p]! * value[z]!, sums, (1 + column[z]!) * sets);
      }
      return sums;
    },
    overSets: (value) => Float64Array.from({ length: patterns }, (_, p) => total(p, value)),
  };
}
