import type { CoxModel } from './coxModel';
import { rowsOfCounts, type CountsBySet } from './countsBySet';

const rowToCell = 3; // so many numbers of a row take as long as a cell that is looked up

/**
 * The number at risk in each set from the first to the last of a pattern's members; null where these are too many beside the cells. Delayed entry is taken
 * off in whole numbers, which leaves no rounding behind: null where weights are no whole numbers, too.
 */
export function rowsAtRisk({ cells: { count }, design: { pattern }, sets, patterns }: CoxModel): CountsBySet | null {
  const { first, last, entering, stratum } = sets, size = stratum.length, from = new Int32Array(patterns).fill(size), to = new Int32Array(patterns).fill(-1);
  for (let i = 0; i < first.length; ++i) {
    const p = pattern[i]!, low = first[i]!, high = last[i]!;
    if (low > high) continue;
    if (low < from[p]!) from[p] = low;
    if (high > to[p]!) to[p] = high;
  }
  const start = new Int32Array(patterns + 1);
  for (let p = 0; p < patterns; ++p) start[p + 1] = start[p]! + Math.max(0, to[p]! + 1 - from[p]!);
  const length = start[patterns]!;
  if (length > rowToCell * first.length || (entering.cells.length > 0 && !areWhole(count))) return null;

  const rows = new Float64Array(length), offset = start.subarray(0, patterns).map((at, p) => at - from[p]!);
  for (let i = 0; i < first.length; ++i) {
    const k = last[i]!;
    if (first[i]! <= k) rows[offset[pattern[i]!]! + k]! += count[i]!;
  }
  for (const i of entering.cells) {
    const p = pattern[i]!;
    if (first[i]! > from[p]!) rows[offset[p]! + first[i]! - 1]! -= count[i]!;
  }
  for (let p = 0; p < patterns; ++p) {
    let sum = rows[start[p + 1]! - 1]!;
    for (let b = start[p + 1]! - 2, k = to[p]! - 1; b >= start[p]!; --b, --k) {
      sum = stratum[k] === stratum[k + 1] ? sum + rows[b]! : rows[b]!;
      rows[b] = sum;
    }
  }
  return rowsOfCounts({ start, first: from, count: rows }, size);
}

function areWhole(counts: Float64Array): boolean {
  for (let i = 0; i < counts.length; ++i) if (!Number.isInteger(counts[i])) return false;
  return true;
}
