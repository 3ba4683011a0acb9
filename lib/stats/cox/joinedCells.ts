import type { Cells } from '../cells';
import { taken } from '../subset';

/** Cells that a model of the event of interest cannot tell apart made one. */
export interface JoinedCells {
  /** Competing events end follow-up as censorings do. */
  readonly cells: Cells;
  /** Per joined cell. */
  readonly pattern: Int32Array;
  /** Per joined cell: the first of the given ones that it was made of. */
  readonly first: Int32Array;
  /** Per given cell: the joined one that it is part of. */
  readonly row: Int32Array;
}

/**
 * Joins cells of one pattern and stratum with the same whole exit; those with delayed entry stay as they are. Clusters are told apart or not: then the
 * joined cells have none. Joined cells come by pattern.
 */
export function joinedCells({ exit, event, count, entry, stratum, cluster }: Cells, pattern: Int32Array, clusters: 'apart' | 'together'): JoinedCells {
  const size = exit.length, apart = clusters === 'apart' ? cluster : undefined, order = ascendingOrder(pattern);
  let days = 0;
  for (let i = 0; i < size; ++i) if (exit[i]! >= days) days = Math.floor(exit[i]!) + 1;
  const rowAt = new Int32Array(2 * days); // by exit and event, one more than the last row; that of an earlier pattern does not count
  const row = new Int32Array(size), first = new Int32Array(size), newExit = new Float64Array(size), newEvent = new Uint8Array(size), newCount = new Float64Array(size);
  let rows = 0;
  for (let n = 0; n < size; ++n) {
    const i = order === null ? n : order[n]!, had = event[i] === 1 ? 1 : 0, at = 2 * exit[i]! + had;
    const joins = !(entry !== undefined && entry[i]! >= 0) && !(apart !== undefined && apart[i]! >= 0) && Number.isInteger(exit[i]);
    const known = joins ? rowAt[at]! - 1 : -1, before = known >= 0 ? first[known]! : -1;
    if (before >= 0 && pattern[before] === pattern[i] && (stratum === undefined || stratum[before] === stratum[i])) {
      row[i] = known;
      newCount[known]! += count[i]!;
      continue;
    }
    if (joins) rowAt[at] = rows + 1;
    first[rows] = i;
    newExit[rows] = exit[i]!;
    newEvent[rows] = had;
    newCount[rows] = count[i]!;
    row[i] = rows++;
  }
  const at = first.slice(0, rows), ofFirst = <T extends Float64Array | Int32Array>(values: T, into: T): T => taken(values, at, into);
  return {
    cells: {
      exit: newExit.subarray(0, rows), event: newEvent.subarray(0, rows), count: newCount.subarray(0, rows),
      ...(entry && { entry: ofFirst(entry, new Float64Array(rows)) }), ...(stratum && { stratum: ofFirst(stratum, new Int32Array(rows)) }),
      ...(apart && { cluster: ofFirst(apart, new Int32Array(rows)) }),
    },
    pattern: ofFirst(pattern, new Int32Array(rows)),
    first: at,
    row,
  };
}

/** The cells in the order of their patterns; null: they are in it. */
function ascendingOrder(pattern: Int32Array): Int32Array | null {
  let sorted = true, highest = -1;
  for (let i = 0; i < pattern.length; ++i) {
    if (pattern[i]! < highest) sorted = false;
    else highest = pattern[i]!;
  }
  if (sorted) return null;
  const next = new Int32Array(highest + 2), order = new Int32Array(pattern.length);
  for (let i = 0; i < pattern.length; ++i) next[pattern[i]! + 1]! += 1;
  for (let p = 0; p <= highest; ++p) next[p + 1]! += next[p]!;
  for (let i = 0; i < pattern.length; ++i) order[next[pattern[i]!]!++] = i;
  return order;
}
