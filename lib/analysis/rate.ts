import { daysPerYear } from '../cohort/days';
import { ratePer100 } from '../stats/rates';
import type { Rate } from './result';

/** Revisions per 100 component-years of one group, from its revisions and days at risk. */
export function rateOf(group: string, { events, time }: { readonly events: number; readonly time: number }, confidence: number): Rate {
  const componentYears = time / daysPerYear;
  const rate = ratePer100(events, componentYears, confidence);
  return { group, events, componentYears, per100: rate.status === 'ok' ? { value: rate.per100, lower: rate.lower, upper: rate.upper } : rate };
}
