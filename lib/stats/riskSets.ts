import type { Cells } from './cells';
import { checkCells } from './checkCells';
import { distinctTimes, firstAtLeast, firstsAbove } from './distinctTimes';
import { rangeSum, rangeTree } from './rangeSums';

/**
 * The risk sets at the distinct event times of each stratum, stratum after stratum, times ascending.
 * A cell is a member of the sets `first` … `last` (none if first > last); where it has the event, it has it in set `last`.
 */
export interface RiskSets {
  readonly time: Float64Array;
  /** The stratum's number in `Cells`; 0 without strata. */
  readonly stratum: Int32Array;
  /** Events of interest in each set. */
  readonly events: Float64Array;
  readonly first: Int32Array;
  readonly last: Int32Array;
  /** Cells whose last set is k: `leaving.cells` from `leaving.start[k]` to `leaving.start[k + 1]`. */
  readonly leaving: Buckets;
  /** Cells with delayed entry whose first set is k, where k is not the first of its stratum; among them, ascending by their last set. */
  readonly entering: Buckets;
}

interface Buckets { readonly start: Int32Array; readonly cells: Int32Array }

export function riskSets(cells: Cells): RiskSets {
  checkCells(cells);
  const { exit, entry, event, count } = cells, size = exit.length;
  const strata = cells.stratum ? distinctTimes(Float64Array.from(cells.stratum)) : null, ofCell = strata?.place;
  const { time: times } = distinctTimes(eventTimes(cells));
  const afterExit = firstsAbove(times, exit), afterEntry = entry && firstsAbove(times, entry), width = times.length + 1;
  const { keys, before } = numbered(eventKeys(event, afterExit, ofCell, width), (strata?.time.length ?? 1) * width);
  const first = new Int32Array(size), last = new Int32Array(size), late: number[] = [];
  for (let i = 0, of = -1, from = 0, start = 0; i < size; ++i) {
    if (ofCell === undefined ? of < 0 : ofCell[i] !== of) {
      of = ofCell ? ofCell[i]! : 0;
      from = of * width;
      start = before(from);
    }
    first[i] = start;
    last[i] = before(from + afterExit[i]!) - 1;
    if (afterEntry === undefined || !(entry![i]! >= 0)) continue;
    first[i] = before(from + afterEntry[i]!);
    if (start < first[i]! && first[i]! <= last[i]!) late.push(i);
  }
  const events = new Float64Array(keys.length);
  for (let i = 0; i < size; ++i) if (event[i] === 1) events[last[i]!]! += count[i]!;
  return {
    time: keys.map((key) => times[key % width]!),
    stratum: Int32Array.from(keys, (key) => strata?.time[Math.floor(key / width)] ?? 0),
    events,
    first,
    last,
    leaving: membersByLast(first, last, keys.length),
    entering: buckets(first, keys.length, buckets(last, keys.length, late).cells),
  };
}

/** Per cell with the event: stratum × width + the place of its time. */
function eventKeys(event: Uint8Array, afterExit: Int32Array, stratum: Int32Array | undefined, width: number): Float64Array {
  const keys: number[] = [];
  for (let i = 0; i < event.length; ++i) if (event[i] === 1) keys.push((stratum ? stratum[i]! * width : 0) + afterExit[i]! - 1);
  return Float64Array.from(keys);
}

function eventTimes({ exit, event }: Cells): Float64Array {
  const times = new Float64Array(exit.length);
  let having = 0;
  for (let i = 0; i < exit.length; ++i) if (event[i] === 1) times[having++] = exit[i]!;
  return times.subarray(0, having);
}

const mostKeys = 2 ** 24; // beyond, a table of them needs too much memory

/** Distinct keys (below `limit`), ascending, and how many of them are below a given key. */
function numbered(given: Float64Array, limit: number): { readonly keys: Float64Array; readonly before: (key: number) => number } {
  if (limit > mostKeys) {
    const { time: keys } = distinctTimes(given);
    return { keys, before: (key) => firstAtLeast(keys, key) };
  }
  const before = new Int32Array(limit + 1);
  for (const key of given) before[key + 1] = 1;
  for (let key = 0; key < limit; ++key) before[key + 1]! += before[key]!;
  const keys = new Float64Array(before[limit]!);
  for (let key = 0; key < limit; ++key) if (before[key + 1] !== before[key]) keys[before[key]!] = key;
  return { keys, before: (key) => before[key]! };
}

/** The cells that are members of any set, by their last one. */
function membersByLast(first: Int32Array, last: Int32Array, size: number): Buckets {
  const start = new Int32Array(size + 1);
  for (let i = 0; i < last.length; ++i) if (first[i]! <= last[i]!) start[last[i]! + 1]! += 1;
  for (let k = 0; k < size; ++k) start[k + 1]! += start[k]!;
  const cells = new Int32Array(start[size]!), next = start.slice();
  for (let i = 0; i < last.length; ++i) if (first[i]! <= last[i]!) cells[next[last[i]!]!++] = i;
  return { start, cells };
}

/** The given cells by their number in `of`, in the given order within each. */
function buckets(of: Int32Array, size: number, cells: readonly number[] | Int32Array): Buckets {
  const start = new Int32Array(size + 1), next = new Int32Array(size + 1), sorted = new Int32Array(cells.length);
  for (const i of cells) ++start[of[i]! + 1]!;
  for (let k = 0; k < size; ++k) next[k + 1] = start[k + 1]! += start[k]!;
  for (const i of cells) sorted[next[of[i]!]!++] = i;
  return { start, cells: sorted };
}

/** Members join with delayed entry where the set before their first is of the same stratum. */
export const begins = ({ stratum }: RiskSets, first: number): boolean => first === 0 || stratum[first - 1] !== stratum[first];

/** Values of the sets, summed. */
export interface SetSums {
  /** From the first set of the stratum to each set. */
  readonly running: Float64Array;
  readonly tree: Float64Array;
}

export function setSums(values: Float64Array, { stratum }: RiskSets): SetSums {
  const running = values.slice();
  for (let k = 1; k < running.length; ++k) if (stratum[k] === stratum[k - 1]) running[k]! += running[k - 1]!;
  return { running, tree: rangeTree(values) };
}

/** Σ over the sets first … last of one stratum; 0 if there are none. */
export function sumOver({ running, tree }: SetSums, sets: RiskSets, first: number, last: number): number {
  if (first > last) return 0;
  return begins(sets, first) ? running[last]! : rangeSum(tree, first, last, new Float64Array(1))[0]!;
}
