import type { Cells } from './cells';
import { checkCells } from './checkCells';
import { distinctTimes, firstAbove, firstAtLeast } from './distinctTimes';
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
  const stratum = cells.stratum ?? new Int32Array(size);
  const strata = distinctTimes(Float64Array.from(stratum));
  const withEvent = Int32Array.from(event.keys()).filter((i) => event[i] === 1);
  const { time: times, place } = distinctTimes(Float64Array.from(withEvent, (i) => exit[i]!));
  const key = (i: number, timePlace: number): number => strata.place[i]! * times.length + timePlace;
  const sets = distinctTimes(Float64Array.from(withEvent, (i, k) => key(i, place[k]!)));

  const events = new Float64Array(sets.time.length);
  withEvent.forEach((i, k) => { events[sets.place[k]!]! += count[i]!; });
  const first = new Int32Array(size), last = new Int32Array(size), start = new Int32Array(size);
  for (let i = 0; i < size; ++i) {
    start[i] = firstAtLeast(sets.time, key(i, 0));
    first[i] = entry && entry[i]! >= 0 ? firstAtLeast(sets.time, key(i, firstAbove(times, entry[i]!))) : start[i]!;
    last[i] = firstAtLeast(sets.time, key(i, firstAbove(times, exit[i]!))) - 1;
  }
  const leaving = buckets(last, sets.time.length, Int32Array.from(first.keys()).filter((i) => first[i]! <= last[i]!));
  const entering = buckets(first, sets.time.length, leaving.cells.filter((i) => first[i]! > start[i]!));
  return {
    time: sets.time.map((k) => times[k % times.length]!),
    stratum: Int32Array.from(sets.time, (k) => strata.time[Math.floor(k / times.length)]!),
    events,
    first,
    last,
    leaving,
    entering,
  };
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
