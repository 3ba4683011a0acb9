import type { Analysis } from '../analysis/result';
import { ticksFromZero } from './ticks';

/** Procedures per calendar year, a line per group in the order of the groups. */
export interface CalendarFigure {
  readonly years: readonly { readonly year: number; readonly counts: readonly number[] }[];
  readonly yearTicks: readonly number[];
  readonly countTicks: readonly number[];
}

export function calendarFigure({ calendar: { years, counts } }: Analysis): CalendarFigure {
  const step = years.length > 12 ? 5 : years.length > 6 ? 2 : 1;
  return {
    years: years.map((year, y) => ({ year, counts: counts.map((ofGroup) => ofGroup[y] ?? 0) })),
    yearTicks: years.filter((year) => year % step === 0),
    countTicks: ticksFromZero(Math.max(1, ...counts.flat()), 4),
  };
}
