import type { Cells, NotEstimable } from './cells';
import { gammaQuantile } from './distributions/gammaQuantile';
import type { EventTable } from './eventTable';

/** Exact two-sided limits of a Poisson mean, given the count observed (0: the lower limit is 0). Garwood 1936, Biometrika 28:437. */
export function poissonLimits(observed: number, confidence = 0.95): { readonly lower: number; readonly upper: number } {
  const tail = (1 - confidence) / 2;
  return {
    lower: observed === 0 ? 0 : gammaQuantile(tail, observed),
    upper: gammaQuantile(tail, observed + 1, 'upper'),
  };
}

/** Events of interest and time at risk, in the unit of the cells' times; delayed entry counts from the entry. */
export function exposure({ exit, entry, event, count }: Cells): { readonly events: number; readonly time: number } {
  let events = 0, time = 0;
  for (let i = 0; i < exit.length; ++i) {
    if (event[i] === 1) events += count[i]!;
    time += count[i]! * (exit[i]! - Math.max(0, entry?.[i] ?? 0));
  }
  return { events, time };
}

/** The same of procedures that are counted already. */
export function tableExposure({ time, events, competing, censored, entryTime, entered }: EventTable): { readonly events: number; readonly time: number } {
  let ofInterest = 0, followed = 0;
  for (let j = 0; j < time.length; ++j) {
    ofInterest += events[j]!;
    followed += time[j]! * (events[j]! + competing[j]! + censored[j]!);
  }
  for (let e = 0; e < entryTime.length; ++e) followed -= entryTime[e]! * entered[e]!;
  return { events: ofInterest, time: followed };
}

/** Events per 100 units of time, with exact Poisson limits. */
export interface Rate {
  readonly status: 'ok';
  readonly per100: number;
  readonly lower: number;
  readonly upper: number;
}

/**
 * Revisions per 100 component-years when `time` is in years. Assumes that the hazard is constant:
 * cohorts of unlike length of follow-up are not to be compared by it. Limits as in Ulm 1990, Am J Epidemiol 131:373.
 */
export function ratePer100(events: number, time: number, confidence = 0.95): Rate | NotEstimable {
  if (!(time > 0)) return { status: 'notEstimable', reason: 'no time at risk' };
  const { lower, upper } = poissonLimits(events, confidence);
  return { status: 'ok', per100: (100 * events) / time, lower: (100 * lower) / time, upper: (100 * upper) / time };
}
