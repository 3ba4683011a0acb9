import type { Cells } from './cells';
import { checkCells } from './checkCells';
import { distinctTimes, firstAtLeast, firstsAbove } from './distinctTimes';
import { rangeSum, rangeTree } from './rangeSums';
import { taken } from './subset';

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
  const strata = cells.stratum ? distinctTimes(Float64Array.from(cells.stratum)) : { time: new Float64Array(1), place: new Int32Array(size) };
  const withEvent = indexesWhere(size, (i) => event[i] === 1);
  const { time: times } = distinctTimes(taken(exit, withEvent, new Float64Array(withEvent.length)));
  const afterExit = firstsAbove(times, exit), afterEntry = entry && firstsAbove(times, entry);
  const width = times.length + 1, keyOf = (i: number, place: number): number => strata.place[i]! * width + place;
  const { keys, before } = numbered(Float64Array.from(withEvent, (i) => keyOf(i, afterExit[i]! - 1)), strata.time.length * width);

  const first = new Int32Array(size), last = new Int32Array(size), start = new Int32Array(size), events = new Float64Array(keys.length);
  for (let i = 0; i < size; ++i) {
    start[i] = before(keyOf(i, 0));
    first[i] = afterEntry && entry[i]! >= 0 ? before(keyOf(i, afterEntry[i]!)) : start[i]!;
    last[i] = before(keyOf(i, afterExit[i]!)) - 1;
    if (event[i] === 1) events[last[i]!]! += count[i]!;
  }
  const leaving = buckets(last, keys.length, indexesWhere(size, (i) => first[i]! <= last[i]!));
  const entering = buckets(first, keys.length, leaving.cells.filter((i) => first[i]! > start[i]!));
  return {
    time: keys.map((key) => times[key % width]!),
    stratum: Int32Array.from(keys, (key) => strata.time[Math.floor(key / width)]!),
    events,
    first,
    last,
    leaving,
    entering,
  };
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

function indexesWhere(size: number, holds: (i: number) => boolean): Int32Array {
  const indexes = new Int32Array(size);
  let kept = 0;
  for (let i = 0; i < size; ++i) if (holds(i)) indexes[kept++] = i;
  return indexes.slice(0, kept);
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
