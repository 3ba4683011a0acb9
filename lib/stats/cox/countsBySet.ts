import type { SparseCovariates } from './sparseCovariates';

/** Numbers of procedures by pattern and risk set. */
export interface CountsBySet {
  /**
   * Per set, Σ over patterns of weight · number; after these, column by column, Σ of weight · (x − usual x) · number: (1 + columns) × sets.
   * @param sums all 0, to be filled with these
   */
  overPatterns(weight: Float64Array, covariates: SparseCovariates, sums?: Float64Array): Float64Array;
  /** Per pattern, Σ over sets of value · number. */
  overSets(value: Float64Array): Float64Array;
}

/** Where few patterns have a number in a set: those of pattern p are from `start[p]` to `start[p + 1]`. */
export interface SingleCounts {
  readonly start: Int32Array;
  readonly set: Int32Array;
  readonly count: Float64Array;
}

/** Where most patterns have a number in most sets: that of pattern p begins with set `first[p]`, and is from `start[p]` to `start[p + 1]`. */
export interface RowsOfCounts {
  readonly start: Int32Array;
  readonly first: Int32Array;
  readonly count: Float64Array;
}

export const singleCounts = ({ start, set, count }: SingleCounts, sets: number): CountsBySet => ({
  overPatterns(weight, { start: of, column, value, usual }, sums = new Float64Array((1 + usual.length) * sets)) {
    for (let p = 0; p < weight.length; ++p) {
      addSingles(sums, 0, weight[p]!, set, count, start[p]!, start[p + 1]!);
      for (let z = of[p]!; z < of[p + 1]!; ++z) addSingles(sums, (1 + column[z]!) * sets, weight[p]! * value[z]!, set, count, start[p]!, start[p + 1]!);
    }
    return sums;
  },
  overSets: (value) => perPattern(start, (from, to) => totalOfSingles(value, set, count, from, to)),
});

export const rowsOfCounts = ({ start, first, count }: RowsOfCounts, sets: number): CountsBySet => ({
  overPatterns(weight, { start: of, column, value, usual }, sums = new Float64Array((1 + usual.length) * sets)) {
    for (let p = 0; p < weight.length; ++p) {
      addRow(sums, first[p]!, weight[p]!, count, start[p]!, start[p + 1]!);
      for (let z = of[p]!; z < of[p + 1]!; ++z) addRow(sums, (1 + column[z]!) * sets + first[p]!, weight[p]! * value[z]!, count, start[p]!, start[p + 1]!);
    }
    return sums;
  },
  overSets: (value) => perPattern(start, (from, to, p) => totalOfRow(value, first[p]!, count, from, to)),
});

function perPattern(start: Int32Array, total: (from: number, to: number, pattern: number) => number): Float64Array {
  const totals = new Float64Array(start.length - 1);
  for (let p = 0; p < totals.length; ++p) totals[p] = total(start[p]!, start[p + 1]!, p);
  return totals;
}

// Loops are functions of their own, given each array, so that they stay as compiled. Four numbers in each pass, since the engine looks up anew in each pass how long an
// array is and where it stands: half the time.

/** Adds weight · number to the sum of each set; those of the sets begin at `at`. */
function addSingles(sums: Float64Array, at: number, weight: number, set: Int32Array, count: Float64Array, from: number, to: number): void {
  let b = from;
  for (const last = to - 3; b < last; b += 4) {
    sums[at + set[b]!]! += weight * count[b]!;
    sums[at + set[b + 1]!]! += weight * count[b + 1]!;
    sums[at + set[b + 2]!]! += weight * count[b + 2]!;
    sums[at + set[b + 3]!]! += weight * count[b + 3]!;
  }
  for (; b < to; ++b) sums[at + set[b]!]! += weight * count[b]!;
}

function addRow(sums: Float64Array, at: number, weight: number, count: Float64Array, from: number, to: number): void {
  let b = from, k = at;
  for (const last = to - 3; b < last; b += 4, k += 4) {
    sums[k]! += weight * count[b]!;
    sums[k + 1]! += weight * count[b + 1]!;
    sums[k + 2]! += weight * count[b + 2]!;
    sums[k + 3]! += weight * count[b + 3]!;
  }
  for (; b < to; ++b, ++k) sums[k]! += weight * count[b]!;
}

/** Σ over sets of value · number. */
function totalOfSingles(value: Float64Array, set: Int32Array, count: Float64Array, from: number, to: number): number {
  let sum = 0, b = from;
  for (const last = to - 3; b < last; b += 4) {
    sum += value[set[b]!]! * count[b]! + value[set[b + 1]!]! * count[b + 1]! + (value[set[b + 2]!]! * count[b + 2]! + value[set[b + 3]!]! * count[b + 3]!);
  }
  for (; b < to; ++b) sum += value[set[b]!]! * count[b]!;
  return sum;
}

function totalOfRow(value: Float64Array, at: number, count: Float64Array, from: number, to: number): number {
  let sum = 0, b = from, k = at;
  for (const last = to - 3; b < last; b += 4, k += 4) {
    sum += value[k]! * count[b]! + value[k + 1]! * count[b + 1]! + (value[k + 2]! * count[b + 2]! + value[k + 3]! * count[b + 3]!);
  }
  for (; b < to; ++b, ++k) sum += value[k]! * count[b]!;
  return sum;
}
