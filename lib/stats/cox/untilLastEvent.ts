import type { Cells } from '../cells';

const mostPlaces = 2 ** 22; // days of all strata together: a larger table would take longer than the cells that it saves

/**
 * Follow-up without an event cut back to the last day on which its stratum had one, or to day 0: nobody leaves a risk set by that, and more cells are alike.
 * Those with delayed entry stay as they are; so do all where times are no whole days. For ratios and their limits alone: scales of time need the exits themselves.
 */
export function untilLastEvent(cells: Cells): Cells {
  const { exit, event, entry, stratum } = cells, size = exit.length, ofStratum = stratum ?? new Int32Array(size);
  let days = 0, least = 0, most = 0;
  for (let i = 0; i < size; ++i) {
    if (!Number.isInteger(exit[i])) return cells;
    if (exit[i]! >= days) days = exit[i]! + 1;
    if (ofStratum[i]! < least) least = ofStratum[i]!;
    if (ofStratum[i]! > most) most = ofStratum[i]!;
  }
  const places = days * (most + 1 - least);
  if (places > mostPlaces) return cells;
  const last = new Int32Array(places), until = new Float64Array(size); // by stratum and day
  for (let i = 0; i < size; ++i) if (event[i] === 1) last[(ofStratum[i]! - least) * days + exit[i]!] = exit[i]!;
  for (let from = 0; from < places; from += days) for (let at = from + 1, end = from + days; at < end; ++at) if (last[at] === 0) last[at] = last[at - 1]!;
  for (let i = 0; i < size; ++i) {
    const stays = event[i] === 1 || (entry !== undefined && entry[i]! >= 0);
    until[i] = stays ? exit[i]! : last[(ofStratum[i]! - least) * days + exit[i]!]!;
  }
  return { ...cells, exit: until };
}
