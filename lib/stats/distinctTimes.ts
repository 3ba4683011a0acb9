import { floatsUsedAgain, integersUsedAgain } from './usedAgain';

export interface DistinctTimes {
  /** Ascending. */
  readonly time: Float64Array;
  /** Where each of the given times stands in `time`. */
  readonly place: Int32Array;
}

/** Sorts times and joins ties, by counting where all are whole numbers of moderate size, else by comparison. */
export function distinctTimes(times: Float64Array): DistinctTimes {
  return areWhole(times, 4 * times.length + 65536) ? byCounting(times) : bySorting(times);
}

function areWhole(times: Float64Array, limit: number): boolean {
  for (let i = 0; i < times.length; ++i) if (!(times[i]! >= 0 && times[i]! < limit && Number.isInteger(times[i]))) return false;
  return true;
}

const placesAgain = integersUsedAgain(), timesAgain = floatsUsedAgain();

function byCounting(times: Float64Array): DistinctTimes {
  let largest = -1;
  for (let i = 0; i < times.length; ++i) if (times[i]! > largest) largest = times[i]!;
  const placeOf = placesAgain(largest + 1).fill(0), time = timesAgain(Math.min(largest + 1, times.length)), place = new Int32Array(times.length);
  for (let i = 0; i < times.length; ++i) placeOf[times[i]!] = 1;
  let size = 0;
  for (let t = 0; t <= largest; ++t) {
    if (placeOf[t] === 0) continue;
    time[size] = t;
    placeOf[t] = size++;
  }
  for (let i = 0; i < place.length; ++i) place[i] = placeOf[times[i]!]!;
  return { time: time.slice(0, size), place };
}

function bySorting(times: Float64Array): DistinctTimes {
  const sorted = times.slice().sort();
  const time = sorted.filter((t, i) => i === 0 || t !== sorted[i - 1]);
  return { time, place: Int32Array.from(times, (t) => firstAtLeast(time, t)) };
}

/** `firstAbove` of the ascending `times` for each of the values; from a table where all times are whole numbers of moderate size. */
export function firstsAbove(times: Float64Array, values: Float64Array): Int32Array {
  const result = new Int32Array(values.length), size = times.length, last = times[size - 1] ?? -1;
  if (!areWhole(times, 4 * values.length + 65536)) {
    for (let i = 0; i < values.length; ++i) result[i] = firstAbove(times, values[i]!);
    return result;
  }
  const above = new Int32Array(last + 1); // by whole number, below the last time
  for (let t = 0, k = 0; t < last; ++t) {
    while (times[k]! <= t) ++k;
    above[t] = k;
  }
  for (let i = 0; i < values.length; ++i) {
    const value = values[i]!;
    result[i] = value < 0 ? 0 : value >= last ? size : above[Math.floor(value)]!;
  }
  return result;
}

/** Index of the first of the ascending `times` that is at least `t`; their length if there is none. */
export function firstAtLeast(times: Float64Array, t: number): number {
  let low = 0, high = times.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (times[middle]! < t) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Index of the first of the ascending `times` that is above `t`; their length if there is none. */
export function firstAbove(times: Float64Array, t: number): number {
  let low = 0, high = times.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (times[middle]! <= t) low = middle + 1;
    else high = middle;
  }
  return low;
}
