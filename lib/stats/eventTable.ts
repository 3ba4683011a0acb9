import type { Cells } from './cells';
import { checkCells } from './checkCells';
import { distinctTimes, firstAbove, firstAtLeast } from './distinctTimes';

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
  return eventTables(cells, new Int32Array(cells.exit.length), 1)[0]!;
}

/** One table per group; `group` has an entry per cell, from 0; negative: in no group. */
export function eventTables(cells: Cells, group: Int32Array, groups: number): EventTable[] {
  checkCells(cells);
  const { exit, entry, event, count } = cells, { time, place } = distinctTimes(exit), size = time.length, late: number[] = [];
  const counts = Array.from({ length: groups * 3 }, () => new Float64Array(size)); // per group: censored, events, competing
  for (let i = 0; i < place.length; ++i) {
    const g = group[i]!;
    if (g < 0) continue;
    counts[3 * g + Math.min(event[i]!, 2)]![place[i]!]! += count[i]!;
    if (entry !== undefined && entry[i]! >= 0) late.push(i);
  }
  return Array.from({ length: groups }, (_, g) => {
    const [censored, events, competing] = counts.slice(3 * g, 3 * g + 3) as [Float64Array, Float64Array, Float64Array];
    return tableOf({ time, events, competing, censored }, delayedEntries(cells, late.filter((i) => group[i] === g)));
  });
}

/** At the times at which anybody is followed to. */
function tableOf(all: Pick<EventTable, 'time' | 'events' | 'competing' | 'censored'>, { entryTime, entered }: Pick<EventTable, 'entryTime' | 'entered'>): EventTable {
  const ending = all.time.map((_, j) => all.events[j]! + all.competing[j]! + all.censored[j]!), used = (_: number, j: number): boolean => ending[j]! > 0;
  const time = all.time.filter(used), events = all.events.filter(used), competing = all.competing.filter(used), censored = all.censored.filter(used), ends = ending.filter((n) => n > 0);
  const atRisk = new Float64Array(time.length);
  for (let j = time.length - 1, n = 0, e = entryTime.length - 1; j >= 0; --j) {
    for (; e >= 0 && entryTime[e]! >= time[j]!; --e) n -= entered[e]!;
    n += ends[j]!;
    atRisk[j] = n;
  }
  return { procedures: ends.reduce((sum, n) => sum + n, 0), time, events, competing, censored, atRisk, entryTime, entered };
}

function delayedEntries({ entry, count }: Cells, late: readonly number[]): Pick<EventTable, 'entryTime' | 'entered'> {
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
