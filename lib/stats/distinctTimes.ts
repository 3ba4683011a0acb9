export interface DistinctTimes {
  /** Ascending. */
  readonly time: Float64Array;
  /** Where each of the given times stands in `time`. */
  readonly place: Int32Array;
}

/** Sorts times and joins ties, by counting where all are whole numbers of moderate size, else by comparison. */
export function distinctTimes(times: Float64Array): DistinctTimes {
  const limit = 4 * times.length + 65536;
  const whole = times.every((t) => t >= 0 && t < limit && Number.isInteger(t));
  return whole ? byCounting(times) : bySorting(times);
}

function byCounting(times: Float64Array): DistinctTimes {
  let largest = -1;
  for (const t of times) if (t > largest) largest = t;
  const placeOf = new Int32Array(largest + 1);
  for (const t of times) placeOf[t] = 1;
  let size = 0;
  for (let t = 0; t <= largest; ++t) if (placeOf[t]! > 0) placeOf[t] = ++size;
  const time = new Float64Array(size);
  for (let t = 0; t <= largest; ++t) if (placeOf[t]! > 0) time[placeOf[t]! - 1] = t;
  return { time, place: Int32Array.from(times, (t) => placeOf[t]! - 1) };
}

function bySorting(times: Float64Array): DistinctTimes {
  const sorted = times.slice().sort();
  const time = sorted.filter((t, i) => i === 0 || t !== sorted[i - 1]);
  return { time, place: Int32Array.from(times, (t) => firstAtLeast(time, t)) };
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
