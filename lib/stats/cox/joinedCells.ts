import type { Cells } from '../cells';
import { subset, taken } from '../subset';

/** Cells that a model of the event of interest cannot tell apart made one, whatever their cluster. */
export interface JoinedCells {
  /** Without clusters; competing events end follow-up as censorings do. */
  readonly cells: Cells;
  /** Per joined cell. */
  readonly pattern: Int32Array;
  /** Per given cell: the joined one that it is part of. */
  readonly row: Int32Array;
}

const mostPlaces = 2 ** 23; // beyond, looking cells up costs more than it saves

/** Joins cells of one pattern and stratum with the same whole exit; those with delayed entry stay as they are. */
export function joinedCells({ exit, event, count, entry, stratum }: Cells, pattern: Int32Array): JoinedCells {
  let patterns = 0, days = 0;
  for (let i = 0; i < exit.length; ++i) {
    patterns = Math.max(patterns, pattern[i]! + 1);
    days = Math.max(days, exit[i]! + 1);
  }
  const places = patterns * days * 2, hasEvent = event.map((e) => (e === 1 ? 1 : 0));
  const firstAt = new Int32Array(places <= mostPlaces ? places : 0).fill(-1);
  const row = new Int32Array(exit.length), first = new Int32Array(exit.length), joined = new Float64Array(exit.length);
  let rows = 0;
  for (let i = 0; i < exit.length; ++i) {
    const joins = places <= mostPlaces && (entry === undefined || entry[i]! < 0) && Number.isInteger(exit[i]), place = (pattern[i]! * days + exit[i]!) * 2 + hasEvent[i]!;
    const known = joins ? firstAt[place]! : -1, same = known >= 0 && (stratum === undefined || stratum[first[known]!] === stratum[i]);
    row[i] = same ? known : rows++;
    joined[row[i]!]! += count[i]!;
    if (same) continue;
    first[row[i]!] = i;
    if (joins && known < 0) firstAt[place] = row[i]!;
  }
  const at = first.slice(0, rows);
  const cells = subset({ exit, event: hasEvent, count, ...(entry && { entry }), ...(stratum && { stratum }) }, at);
  return { cells: { ...cells, count: joined.slice(0, rows) }, pattern: taken(pattern, at, new Int32Array(rows)), row };
}
