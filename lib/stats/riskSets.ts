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
  const withEvent = new Float64Array(size);
  let having = 0;
  for (let i = 0; i < size; ++i) if (event[i] === 1) withEvent[having++] = (ofCell ? ofCell[i]! * width : 0) + afterExit[i]! - 1;
  const { keys, before } = numbered(withEvent.subarray(0, having), (strata?.time.length ?? 1) * width);

  const first = new Int32Array(size), last = new Int32Array(size), events = new Float64Array(keys.length);
  const staying = new Int32Array(size), late = new Int32Array(entry ? size : 0);
  let stayed = 0, cameLate = 0;
  for (let i = 0; i < size; ++i) {
    const key = ofCell ? ofCell[i]! * width : 0, start = before(key), from = afterEntry && entry[i]! >= 0 ? before(key + afterEntry[i]!) : start, to = before(key + afterExit[i]!) - 1;
    first[i] = from;
    last[i] = to;
    if (event[i] === 1) events[to]! += count[i]!;
    if (from > to) continue;
    staying[stayed++] = i;
    if (from > start) late[cameLate++] = i;
  }
  const leaving = buckets(last, keys.length, staying.subarray(0, stayed));
  const entering = buckets(first, keys.length, buckets(last, keys.length, late.subarray(0, cameLate)).cells);
  return {
    time: keys.map((key) => times[key % width]!),
    stratum: Int32Array.from(keys, (key) => strata?.time[Math.floor(key / width)] ?? 0),
    events,
    first,
    last,
    leaving,
    entering,
  };
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
  const below = new Int32Array(limit + 1);
  for (const key of given) below[key + 1] = 1;
  for (let key = 0; key < limit; ++key) below[key + 1]! += below[key]!;
  const keys = new Float64Array(below[limit]!);
  for (let key = 0; key < limit; ++key) if (below[key + 1] !== below[key]) keys[below[key]!] = key;
  return { keys, before: (key) => below[key]! };
}

/** The given cells by their number in `of`, in the given order within each. */
function buckets(of: Int32Array, size: number, cells: Int32Array): Buckets {
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
