import type { Cells } from '../cells';

const mostPlaces = 2 ** 22; // days of all strata together: a larger table would take longer than the cells that it saves

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
  const { exit, event, entry, stratum } = cells, size = exit.length, ofStratum = stratum ?? new Int32Array(size), days = wholeDays(exit);
  if (days === null) return cells;
  let least = 0, most = 0;
  for (let i = 0; i < size; ++i) {
    if (ofStratum[i]! < least) least = ofStratum[i]!;
    if (ofStratum[i]! > most) most = ofStratum[i]!;
  }
  const places = days * (most + 1 - least);
  if (places > mostPlaces) return cells;
  const last = new Int32Array(places), until = new Float64Array(size); // by stratum and day
  for (let i = 0; i < size; ++i) if (event[i] === 1) last[(ofStratum[i]! - least) * days + exit[i]!] = exit[i]!;
  carryOn(last, days);
  for (let i = 0; i < size; ++i) {
    const stays = event[i] === 1 || (entry !== undefined && entry[i]! >= 0);
    until[i] = stays ? exit[i]! : last[(ofStratum[i]! - least) * days + exit[i]!]!;
  }
  return { ...cells, exit: until };
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
