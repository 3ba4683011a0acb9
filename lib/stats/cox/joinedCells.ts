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

const mostPlaces = 2 ** 23; // beyond, looking cells up costs more than it saves

/**
 * Joins cells of one pattern and stratum with the same whole exit; those with delayed entry stay as they are. Clusters are told apart or not: then the
 * joined cells have none.
 */
export function joinedCells({ exit, event, count, entry, stratum, cluster }: Cells, pattern: Int32Array, clusters: 'apart' | 'together'): JoinedCells {
  const size = exit.length, apart = clusters === 'apart' ? cluster : undefined;
  let patterns = 0, days = 0;
  for (let i = 0; i < size; ++i) {
    if (pattern[i]! >= patterns) patterns = pattern[i]! + 1;
    if (exit[i]! >= days) days = Math.floor(exit[i]!) + 1;
  }
  const places = patterns * days * 2, rowAt = new Int32Array(places <= mostPlaces ? places : 0); // one more than the row
  const row = new Int32Array(size), first = new Int32Array(size), newExit = new Float64Array(size), newEvent = new Uint8Array(size), newCount = new Float64Array(size);
  let rows = 0;
  for (let i = 0; i < size; ++i) {
    const had = event[i] === 1 ? 1 : 0, at = (pattern[i]! * days + exit[i]!) * 2 + had;
    const joins = places <= mostPlaces && !(entry !== undefined && entry[i]! >= 0) && !(apart !== undefined && apart[i]! >= 0) && Number.isInteger(exit[i]);
    const known = joins ? rowAt[at]! - 1 : -1;
    if (known >= 0 && (stratum === undefined || stratum[first[known]!] === stratum[i])) {
      row[i] = known;
      newCount[known]! += count[i]!;
      continue;
    }
    if (joins && known < 0) rowAt[at] = rows + 1;
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
