import type { Cells } from '../cells';
import { integersUsedAgain } from '../usedAgain';

const mostPlaces = 2 ** 22; // days of all strata together: a larger table would take longer than the cells that it saves

const lastAgain = integersUsedAgain();
const known = new WeakMap<Cells, Cells>();

/**
 * Follow-up without an event cut back to the last day on which its stratum had one, or to day 0: nobody leaves a risk set by that, and more cells are alike.
 * Those with delayed entry stay as they are; so do all where times are no whole days. For ratios, their limits, and scales of time that go by who is at risk at events
 * where there is one stratum: others need the exits themselves. Cut back once for all models of the same cells.
 */
export function untilLastEvent(cells: Cells): Cells {
  const before = known.get(cells);
  if (before) return before;
  const result = cutBack(cells);
  known.set(cells, result);
  return result;
}

function cutBack(cells: Cells): Cells {
  const { exit, event, entry, stratum } = cells, days = wholeDays(exit);
  if (days === null) return cells;
  const ofStratum = stratum ?? new Int32Array(exit.length), { least, strata } = range(ofStratum), places = days * strata;
  if (places > mostPlaces) return cells;
  const last = lastAgain(places).fill(0), until = exit.slice(); // by stratum and day
  markEvents(last, days, least, ofStratum, exit, event);
  carryOn(last, days);
  cutTo(until, last, days, least, ofStratum, event);
  if (entry !== undefined) keepLate(until, exit, entry);
  return { ...cells, exit: until };
}

function range(stratum: Int32Array): { readonly least: number; readonly strata: number } {
  let least = 0, most = 0;
  for (let i = 0; i < stratum.length; ++i) {
    if (stratum[i]! < least) least = stratum[i]!;
    if (stratum[i]! > most) most = stratum[i]!;
  }
  return { least, strata: most + 1 - least };
}

function markEvents(last: Int32Array, days: number, least: number, stratum: Int32Array, exit: Float64Array, event: Uint8Array): void {
  for (let i = 0; i < exit.length; ++i) if (event[i] === 1) last[(stratum[i]! - least) * days + exit[i]!] = exit[i]!;
}

function cutTo(until: Float64Array, last: Int32Array, days: number, least: number, stratum: Int32Array, event: Uint8Array): void {
  for (let i = 0; i < until.length; ++i) if (event[i] !== 1) until[i] = last[(stratum[i]! - least) * days + until[i]!]!;
}

function keepLate(until: Float64Array, exit: Float64Array, entry: Float64Array): void {
  for (let i = 0; i < until.length; ++i) if (entry[i]! >= 0) until[i] = exit[i]!;
}

/** One more than the last day; null: some time is no whole one. */
function wholeDays(exit: Float64Array): number | null {
  let days = 0;
  for (let i = 0; i < exit.length; ++i) {
    if (!Number.isInteger(exit[i])) return null;
    if (exit[i]! >= days) days = exit[i]! + 1;
  }
  return days;
}

/** To the days after, in each stratum. */
function carryOn(last: Int32Array, days: number): void {
  for (let from = 0; from < last.length; from += days) {
    for (let at = from, day = 0, soFar = 0; day < days; ++at, ++day) {
      if (last[at] === 0) last[at] = soFar;
      else soFar = last[at]!;
    }
  }
}
