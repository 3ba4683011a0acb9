import type { Cells } from './cells';
import { checkCells } from './checkCells';
import { distinctTimes, firstAbove, firstAtLeast } from './distinctTimes';
import { taken } from './subset';
import { floatsUsedAgain } from './usedAgain';

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

const countsAgain = floatsUsedAgain();

/** One table per group; `group` has an entry per cell, from 0; negative: in no group. */
export function eventTables(cells: Cells, group: Int32Array, groups: number): EventTable[] {
  checkCells(cells);
  const { exit, event, count } = cells, { time, place } = distinctTimes(exit), size = time.length;
  const counts = countsAgain(groups * 3 * size).fill(0), late = lateOf(cells, group, groups); // per group: censored, events, competing
  addCounts(counts, size, group, event, place, count);
  return Array.from({ length: groups }, (_, g) => {
    const [censored, events, competing] = [0, 1, 2].map((e) => counts.subarray((3 * g + e) * size, (3 * g + e + 1) * size)) as [Float64Array, Float64Array, Float64Array];
    return tableOf({ time, events, competing, censored }, delayedEntries(cells, late[g]!));
  });
}

function addCounts(counts: Float64Array, size: number, group: Int32Array, event: Uint8Array, place: Int32Array, count: Float64Array): void {
  for (let i = 0; i < place.length; ++i) {
    const g = group[i]!, e = event[i]!;
    if (g >= 0) counts[(3 * g + (e < 2 ? e : 2)) * size + place[i]!]! += count[i]!;
  }
}

/** Cells with delayed entry, by group. */
function lateOf({ entry }: Cells, group: Int32Array, groups: number): readonly (readonly number[])[] {
  const late = Array.from({ length: groups }, (): number[] => []);
  if (entry !== undefined) for (let i = 0; i < entry.length; ++i) if (entry[i]! >= 0 && group[i]! >= 0) late[group[i]!]!.push(i);
  return late;
}

/** At the times at which anybody is followed to. */
function tableOf(all: Pick<EventTable, 'time' | 'events' | 'competing' | 'censored'>, { entryTime, entered }: Pick<EventTable, 'entryTime' | 'entered'>): EventTable {
  const used = new Int32Array(all.time.length);
  let size = 0, procedures = 0;
  for (let j = 0; j < used.length; ++j) {
    const ending = all.events[j]! + all.competing[j]! + all.censored[j]!;
    procedures += ending;
    if (ending > 0) used[size++] = j;
  }
  const at = used.subarray(0, size), ofUsed = (values: Float64Array): Float64Array => taken(values, at, new Float64Array(size));
  const time = ofUsed(all.time), events = ofUsed(all.events), competing = ofUsed(all.competing), censored = ofUsed(all.censored), atRisk = new Float64Array(size);
  for (let j = size - 1, n = 0, e = entryTime.length - 1; j >= 0; --j) {
    for (; e >= 0 && entryTime[e]! >= time[j]!; --e) n -= entered[e]!;
    n += events[j]! + competing[j]! + censored[j]!;
    atRisk[j] = n;
  }
  return { procedures, time, events, competing, censored, atRisk, entryTime, entered };
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
