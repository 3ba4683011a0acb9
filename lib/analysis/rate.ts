import { daysPerYear } from '../cohort/days';
import type { Cells } from '../stats/cells';
import { exposure, ratePer100 } from '../stats/rates';
import type { Rate } from './result';

/** Revisions per 100 component-years of one group's cells. */
export function rateOf(group: string, cells: Cells, confidence: number): Rate {
  const { events, time } = exposure(cells);
  const componentYears = time / daysPerYear;
  const rate = ratePer100(events, componentYears, confidence);
  return { group, events, componentYears, per100: rate.status === 'ok' ? { value: rate.per100, lower: rate.lower, upper: rate.upper } : rate };
}
