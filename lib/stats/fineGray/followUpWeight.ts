import type { Cells } from '../cells';
import { firstAbove, firstAtLeast } from '../distinctTimes';
import { eventTable, type EventTable } from '../eventTable';

/**
 * The chance Ĝ(t−) Ĥ(t−) of being under follow-up just before t, were there no events: Ĝ by Kaplan–Meier with censoring for the event, and
 * events before censorings at equal times; Ĥ, 1 without delayed entry, by the same in reversed time with entry for the event.
 * Geskus 2011, Biometrics 67:39.
 */
export function followUpWeight(cells: Cells): (t: number) => number {
  const table = eventTable(cells), uncensored = uncensoredBefore(table), entered = enteredBefore(table);
  return (t) => uncensored[firstAtLeast(table.time, t)]! * entered[firstAtLeast(table.entryTime, t)]!;
}

/** Ĝ before each time of the table; 0 after the last, where nobody can be followed. */
function uncensoredBefore({ time, censored, atRisk, events, competing }: EventTable): Float64Array {
  const result = new Float64Array(time.length + 1).fill(1);
  result[time.length] = 0;
  for (let j = 0; j + 1 < time.length; ++j) {
    const n = atRisk[j]! - events[j]! - competing[j]!;
    result[j + 1] = censored[j]! > 0 ? (result[j]! * (n - censored[j]!)) / n : result[j]!;
  }
  return result;
}

/** Ĥ before each time of entry, and after the last: a product over the entries still to come, each among those followed just after it. */
function enteredBefore({ time, events, competing, censored, entryTime, entered }: EventTable): Float64Array {
  const result = new Float64Array(entryTime.length + 1).fill(1);
  let staying = 0, later = 0; // exits and entries after the entry at hand
  for (let e = entryTime.length - 1, j = time.length; e >= 0; --e) {
    for (const first = firstAbove(time, entryTime[e]!); j > first; --j) staying += events[j - 1]! + competing[j - 1]! + censored[j - 1]!;
    const n = staying - later;
    result[e] = (result[e + 1]! * (n - entered[e]!)) / n;
    later += entered[e]!;
  }
  return result;
}
