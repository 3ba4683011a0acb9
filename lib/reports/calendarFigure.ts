import type { Analysis } from '../analysis/result';
import type { ProtectedTable } from './table';
import { ticksFromZero } from './ticks';

/** Procedures per calendar year, a line per group in the order of the groups. */
export interface CalendarFigure {
  readonly years: readonly { readonly year: number; readonly counts: readonly number[] }[];
  /** The same for print; null: withheld. */
  readonly paper: readonly { readonly year: number; readonly counts: readonly (number | null)[] }[];
  readonly yearTicks: readonly number[];
  readonly countTicks: readonly number[];
}

/** `table`: the same as numbers, protected. */
export function calendarFigure({ calendar: { years, counts } }: Analysis, table: ProtectedTable): CalendarFigure {
  const step = years.length > 12 ? 5 : years.length > 6 ? 2 : 1;
  return {
    years: years.map((year, y) => ({ year, counts: counts.map((ofGroup) => ofGroup[y] ?? 0) })),
    paper: years.map((year, y) => ({ year, counts: (table.rows[y]?.cells ?? []).slice(1).map(({ value, outside, outsideValue }) => outsideValue ?? (outside === undefined ? value ?? null : null)) })),
    yearTicks: years.filter((year) => year % step === 0),
    countTicks: ticksFromZero(Math.max(1, ...counts.flat()), 4),
  };
}
