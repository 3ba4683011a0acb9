import { addRowExactly, exactSums } from '../exactSums';
import { rangeSum, rangeTree } from '../rangeSums';
import type { RiskSets } from '../riskSets';

/**
 * Cells that stay in the later risk sets of their stratum after their exit, as procedures with a competing event do in the model of Fine
 * and Gray. Every array but `remaining` has an entry per such cell, ascending by `from`.
 */
export interface Lingering {
  readonly cell: Int32Array;
  /** The sets in which it lingers. */
  readonly from: Int32Array;
  readonly to: Int32Array;
  /** Its weight in set k is share · remaining[group][k]. */
  readonly share: Float64Array;
  readonly group: Int32Array;
  /** Per group, an entry per set. */
  readonly remaining: readonly Float64Array[];
}

/** Per cell i, a sum of vectors: row `row[i]` of `sums`. Many cells have the same. */
export interface MembershipSums { readonly sums: Float64Array; readonly row: Int32Array }

/**
 * Per cell, the sum of the vectors of `width` numbers in `values` (sets × width) over the sets it is a member of, those in which it lingers
 * by its weight there.
 */
export function membershipSums(values: Float64Array, width: number, sets: RiskSets, lingering: Lingering | null): MembershipSums {
  const { first, last, stratum, entering } = sets, size = stratum.length, row = new Int32Array(first.length);
  const sums = new Float64Array((1 + size + entering.cells.length) * width); // nothing, from the start to each set, late entries
  sums.set(values, width);
  for (let k = 1; k < size; ++k) if (stratum[k] === stratum[k - 1]) for (let at = (k + 1) * width; at < (k + 2) * width; ++at) sums[at]! += sums[at - width]!;
  for (let i = 0; i < row.length; ++i) row[i] = first[i]! <= last[i]! ? 1 + last[i]! : 0;
  if (entering.cells.length > 0) {
    sums.set(overLateEntries(values, width, sets), (1 + size) * width);
    entering.cells.forEach((i, b) => { row[i] = 1 + size + b; });
  }
  return lingering === null ? { sums, row } : withLingering({ sums, row }, values, width, lingering);
}

function withLingering({ sums, row }: MembershipSums, values: Float64Array, width: number, lingering: Lingering): MembershipSums {
  const own = new Float64Array(row.length * width);
  for (let i = 0; i < row.length; ++i) for (let j = 0; j < width; ++j) own[i * width + j] = sums[row[i]! * width + j]!;
  addLingering(own, values, width, lingering);
  return { sums: own, row: Int32Array.from(row.keys()) };
}

/** Per cell of `entering`, the sum of the vectors over its sets; those cells × width. */
export function overLateEntries(values: Float64Array, width: number, { first, last, stratum, entering: { cells } }: RiskSets): Float64Array {
  const sums = exactSums(values.length), { high, low } = sums, result = new Float64Array(cells.length * width);
  high.set(values);
  for (let k = 1; k < stratum.length; ++k) if (stratum[k] === stratum[k - 1]) addRowExactly(sums, width, k - 1, k);
  for (let b = 0; b < cells.length; ++b) {
    const to = last[cells[b]!]! * width, from = (first[cells[b]!]! - 1) * width;
    for (let j = 0; j < width; ++j) result[b * width + j] = high[to + j]! - high[from + j]! + (low[to + j]! - low[from + j]!);
  }
  return result;
}

/** Adds, in the rows of cells that linger, what `membershipSums` sums for them. */
export function addLingering(result: Float64Array, values: Float64Array, width: number, { cell, from, to, share, group, remaining }: Lingering): void {
  const trees = remaining.map((weight) => rangeTree(values.map((v, at) => v * weight[Math.floor(at / width)]!), width));
  const sum = new Float64Array(width);
  cell.forEach((i, m) => {
    if (from[m]! > to[m]!) return;
    rangeSum(trees[group[m]!]!, from[m]!, to[m]!, sum);
    for (let j = 0; j < width; ++j) result[i * width + j]! += share[m]! * sum[j]!;
  });
}
