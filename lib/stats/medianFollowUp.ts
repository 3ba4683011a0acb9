import type { NotEstimable } from './cells';
import type { EventTable } from './eventTable';
import { kaplanMeier } from './kaplanMeier';

export interface MedianFollowUp { readonly status: 'ok'; readonly time: number }

/**
 * Median follow-up by the reverse Kaplan–Meier estimate: censoring is the event, and events of any kind end the observation of it.
 * Where the curve is flat at one half, the middle of the two times.
 * Schemper & Smith 1996, Control Clin Trials 17:343.
 */
export function medianFollowUp(table: EventTable): MedianFollowUp | NotEstimable {
  const { events, competing, censored } = table;
  const reversed = { ...table, events: censored, censored: events.map((d, j) => d + competing[j]!), competing: new Float64Array(events.length) };
  const { survival } = kaplanMeier(reversed);
  const tolerance = 1e-9; // a product of rounded fractions must not miss one half
  const half = survival.findIndex((s) => s <= 0.5 + tolerance);
  if (half < 0) return { status: 'notEstimable', reason: 'more than half of the follow-up ended in a revision or a competing event' };
  const flat = Math.abs(survival[half]! - 0.5) < tolerance;
  const next = flat ? survival.findIndex((s) => s < 0.5 - tolerance) : -1;
  return { status: 'ok', time: next < 0 ? table.time[half]! : (table.time[half]! + table.time[next]!) / 2 };
}
