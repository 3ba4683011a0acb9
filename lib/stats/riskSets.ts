import type { Cells } from './cells';
import { checkCells } from './checkCells';
import { distinctTimes, firstAtLeast, firstsAbove, type DistinctTimes } from './distinctTimes';
import { rangeSum, rangeTree } from './rangeSums';
import { taken } from './subset';
import { integersUsedAgain } from './usedAgain';

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
  /** Cells with the event. */
  readonly having: Int32Array;
  /** Cells with delayed entry whose first set is k, where k is not the first of its stratum; among them, ascending by their last set. */
  readonly entering: Buckets;
}

/** Those of set k are from `start[k]` to `start[k + 1]`. */
interface Buckets { readonly start: Int32Array; readonly cells: Int32Array }

const havingAgain = integersUsedAgain(), lateAgain = integersUsedAgain(), keysAgain = integersUsedAgain();

export function riskSets(cells: Cells): RiskSets {
  checkCells(cells);
  const { exit, entry, event, count } = cells, size = exit.length, having = withEvent(event);
  const { time: times, place } = distinctTimes(taken(exit, having, new Float64Array(having.length))), width = times.length;
  const late = entry ? delayed(entry) : new Int32Array(0), afterEntry = firstsAbove(times, taken(entry ?? exit, late, new Float64Array(late.length)));
  const first = new Int32Array(size), last = firstsAbove(times, exit), strata = cells.stratum ? distinctTimes(new Float64Array(cells.stratum)) : null;
  const { keys, before } = strata === null ? oneStratum(width) : occurring(strata, { having, place, width });
  const startOf = Int32Array.from(strata?.time ?? [0], (_, of) => before(of * width));
  if (strata !== null) {
    for (let i = 0; i < size; ++i) {
      const of = strata.place[i]!;
      first[i] = startOf[of]!;
      last[i] = before(of * width + last[i]!);
    }
  }
  for (let i = 0; i < size; ++i) last[i]! -= 1;
  const events = new Float64Array(keys.length);
  for (let b = 0; b < having.length; ++b) events[last[having[b]!]!]! += count[having[b]!]!;
  const joining = new Int32Array(late.length);
  let joined = 0;
  for (let b = 0; b < late.length; ++b) {
    const i = late[b]!, of = strata?.place[i] ?? 0;
    const from = first[i] = before(of * width + afterEntry[b]!);
    if (startOf[of]! < from && from <= last[i]!) joining[joined++] = i;
  }
  return {
    time: keys.map((of) => times[of % width]!),
    stratum: new Int32Array(keys.map((of) => strata?.time[Math.floor(of / width)] ?? 0)),
    events,
    first,
    last,
    having,
    entering: buckets(first, keys.length, buckets(last, keys.length, joining.subarray(0, joined)).cells),
  };
}

/** The cells that are members of any set, by their last one. */
export function leaving({ first, last, time }: RiskSets): Buckets {
  return buckets(last, time.length, Int32Array.from(first.keys()).filter((i) => first[i]! <= last[i]!));
}

function withEvent(event: Uint8Array): Int32Array {
  const cells = havingAgain(event.length);
  let having = 0;
  for (let i = 0; i < event.length; ++i) if (event[i] === 1) cells[having++] = i;
  return cells.slice(0, having);
}

function delayed(entry: Float64Array): Int32Array {
  const cells = lateAgain(entry.length);
  let late = 0;
  for (let i = 0; i < entry.length; ++i) if (entry[i]! >= 0) cells[late++] = i;
  return cells.slice(0, late);
}

/** Sets have keys: the place of their time among the distinct ones, those of a later stratum after all of an earlier one. */
interface SetKeys {
  /** Ascending. */
  readonly keys: Float64Array;
  /** How many are below the given one. */
  readonly before: (key: number) => number;
}

const oneStratum = (width: number): SetKeys => ({ keys: Float64Array.from({ length: width }, (_, k) => k), before: (key) => key });

const mostKeys = 2 ** 24; // beyond, a table of them needs too much memory

/** The keys of the cells with the event: not every stratum has one at every time. */
function occurring(strata: DistinctTimes, { having, place, width }: { readonly having: Int32Array; readonly place: Int32Array; readonly width: number }): SetKeys {
  const given = new Float64Array(having.length), limit = strata.time.length * width;
  for (let b = 0; b < given.length; ++b) given[b] = strata.place[having[b]!]! * width + place[b]!;
  if (limit > mostKeys) {
    const { time: keys } = distinctTimes(given);
    return { keys, before: (key) => firstAtLeast(keys, key) };
  }
  const before = keysAgain(limit + 1).fill(0);
  for (let b = 0; b < given.length; ++b) before[given[b]! + 1] = 1;
  for (let key = 0; key < limit; ++key) before[key + 1]! += before[key]!;
  const keys = new Float64Array(before[limit]!);
  for (let key = 0; key < limit; ++key) if (before[key + 1] !== before[key]) keys[before[key]!] = key;
  return { keys, before: (key) => before[key]! };
}

/** The given cells by their number in `of`, in the given order within each. */
function buckets(of: Int32Array, size: number, cells: Int32Array): Buckets {
  const start = new Int32Array(size + 1), next = new Int32Array(size + 1), sorted = new Int32Array(cells.length);
  for (let b = 0; b < cells.length; ++b) ++start[of[cells[b]!]! + 1]!;
  for (let k = 0; k < size; ++k) next[k + 1] = start[k + 1]! += start[k]!;
  for (let b = 0; b < cells.length; ++b) sorted[next[of[cells[b]!]!]!++] = cells[b]!;
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
