import type { Cells } from './cells';
import { checkCells } from './checkCells';
import { distinctTimes, firstAbove, firstAtLeast } from './distinctTimes';
import { indexesByGroup, subset } from './subset';

/** Follow-up counted once; estimators are running products and sums over it. */
export interface EventTable {
  readonly procedures: number;
  /** Distinct exit times, ascending, time 0 included. */
  readonly time: Float64Array;
  /** Events of interest at each time. */
  readonly events: Float64Array;
  /** Competing events of any kind at each time. */
  readonly competing: Float64Array;
  readonly censored: Float64Array;
  /** Procedures with entry < time ≤ exit: at equal times events come before censorings, and entries after both. */
  readonly atRisk: Float64Array;
  /** Distinct times of delayed entry, ascending; empty when all are at risk from the start. */
  readonly entryTime: Float64Array;
  readonly entered: Float64Array;
}

export function eventTable(cells: Cells): EventTable {
  checkCells(cells);
  const { time, place } = distinctTimes(cells.exit);
  const events = new Float64Array(time.length), competing = new Float64Array(time.length), censored = new Float64Array(time.length);
  let procedures = 0;
  for (let i = 0; i < place.length; ++i) {
    const event = cells.event[i]!, count = cells.count[i]!;
    (event === 0 ? censored : event === 1 ? events : competing)[place[i]!]! += count;
    procedures += count;
  }
  const { entryTime, entered } = delayedEntries(cells);
  const atRisk = new Float64Array(time.length);
  for (let j = time.length - 1, n = 0, e = entryTime.length - 1; j >= 0; --j) {
    for (; e >= 0 && entryTime[e]! >= time[j]!; --e) n -= entered[e]!;
    n += events[j]! + competing[j]! + censored[j]!;
    atRisk[j] = n;
  }
  return { procedures, time, events, competing, censored, atRisk, entryTime, entered };
}

/** One table per group; `group` has an entry per cell, from 0; negative: in no group. */
export function eventTables(cells: Cells, group: Int32Array, groups: number): EventTable[] {
  return indexesByGroup(group, groups).map((indexes) => eventTable(subset(cells, indexes)));
}

function delayedEntries({ entry, count }: Cells): Pick<EventTable, 'entryTime' | 'entered'> {
  const late: number[] = [];
  if (entry) for (let i = 0; i < entry.length; ++i) if (entry[i]! >= 0) late.push(i);
  const { time: entryTime, place } = distinctTimes(Float64Array.from(late, (i) => entry![i]!));
  const entered = new Float64Array(entryTime.length);
  place.forEach((p, k) => { entered[p]! += count[late[k]!]!; });
  return { entryTime, entered };
}

/** Procedures at risk just before any time t, at least 0. */
export function numberAtRisk(table: EventTable, t: number): number {
  let n = 0;
  for (let j = firstAtLeast(table.time, t); j < table.time.length; ++j) n += table.events[j]! + table.competing[j]! + table.censored[j]!;
  for (let e = firstAtLeast(table.entryTime, t); e < table.entryTime.length; ++e) n -= table.entered[e]!;
  return n;
}

/** Events of interest up to and including t. */
export function cumulativeEvents(table: EventTable, t: number): number {
  let sum = 0;
  for (let j = firstAbove(table.time, t) - 1; j >= 0; --j) sum += table.events[j]!;
  return sum;
}
