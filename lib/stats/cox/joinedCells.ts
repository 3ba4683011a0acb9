import type { Cells } from '../cells';
import { taken } from '../subset';
import { integersUsedAgain } from '../usedAgain';

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

const firstsAgain = integersUsedAgain(), rowsAgain = integersUsedAgain(), orderAgain = integersUsedAgain();
const known = new WeakMap<Cells, { readonly pattern: Int32Array; readonly joined: JoinedCells }>();

/** Clusters are not told apart: the joined cells have none. Joined once for all models of the same cells and patterns. */
export function joinedAcrossClusters(cells: Cells, pattern: Int32Array): JoinedCells {
  const before = known.get(cells);
  if (before?.pattern === pattern) return before.joined;
  const { cluster, ...others } = cells, joined = joinedCells(cluster === undefined ? cells : others, pattern);
  known.set(cells, { pattern, joined });
  return joined;
}

/** Joins cells of one pattern and stratum with the same whole exit; those with delayed entry or a cluster stay as they are. Joined cells come by pattern. */
export function joinedCells(cells: Cells, pattern: Int32Array): JoinedCells {
  const { exit, event, count, entry, stratum, cluster } = cells, row = new Int32Array(exit.length), first = firstOfRows(row, cells, pattern), rows = first.length;
  const ofFirst = <T extends Float64Array | Int32Array>(values: T, into: T): T => taken(values, first, into);
  return {
    cells: {
      exit: ofFirst(exit, new Float64Array(rows)), event: ofInterest(taken(event, first, new Uint8Array(rows))), count: summed(count, row, new Float64Array(rows)),
      ...(entry && { entry: ofFirst(entry, new Float64Array(rows)) }), ...(stratum && { stratum: ofFirst(stratum, new Int32Array(rows)) }),
      ...(cluster && { cluster: ofFirst(cluster, new Int32Array(rows)) }),
    },
    pattern: ofFirst(pattern, new Int32Array(rows)),
    first,
    row,
  };
}

/** Fills in the row of each cell; returns the first cell of each row. */
function firstOfRows(row: Int32Array, { exit, event, entry, stratum, cluster }: Cells, pattern: Int32Array): Int32Array {
  const size = exit.length, order = ascendingOrder(pattern), first = firstsAgain(size);
  let days = 0, rows = 0;
  for (let i = 0; i < size; ++i) if (exit[i]! >= days) days = Math.floor(exit[i]!) + 1;
  const rowAt = rowsAgain(2 * days).fill(0); // by exit and event, one more than the last row; that of an earlier pattern does not count
  for (let n = 0; n < size; ++n) {
    const i = order === null ? n : order[n]!, at = 2 * exit[i]! + (event[i] === 1 ? 1 : 0);
    const joins = !(entry !== undefined && entry[i]! >= 0) && !(cluster !== undefined && cluster[i]! >= 0) && Number.isInteger(exit[i]);
    const known = joins ? rowAt[at]! - 1 : -1, before = known >= 0 ? first[known]! : -1;
    if (before >= 0 && pattern[before] === pattern[i] && (stratum === undefined || stratum[before] === stratum[i])) {
      row[i] = known;
      continue;
    }
    first[rows] = i;
    row[i] = rows++;
    if (joins) rowAt[at] = rows;
  }
  return first.slice(0, rows);
}

function ofInterest(event: Uint8Array): Uint8Array {
  for (let i = 0; i < event.length; ++i) if (event[i] !== 1) event[i] = 0;
  return event;
}

function summed(count: Float64Array, row: Int32Array, sums: Float64Array): Float64Array {
  for (let i = 0; i < count.length; ++i) sums[row[i]!]! += count[i]!;
  return sums;
}

/** The cells in the order of their patterns; null: they are in it. */
function ascendingOrder(pattern: Int32Array): Int32Array | null {
  let sorted = true, highest = -1;
  for (let i = 0; i < pattern.length; ++i) {
    if (pattern[i]! < highest) sorted = false;
    else highest = pattern[i]!;
  }
  if (sorted) return null;
  const next = new Int32Array(highest + 2), order = orderAgain(pattern.length);
  for (let i = 0; i < pattern.length; ++i) next[pattern[i]! + 1]! += 1;
  for (let p = 0; p <= highest; ++p) next[p + 1]! += next[p]!;
  for (let i = 0; i < pattern.length; ++i) order[next[pattern[i]!]!++] = i;
  return order;
}
