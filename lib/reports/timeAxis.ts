import { daysOfYears } from '../cohort/days';
import type { View } from '../contract/view';
import { formatCount, formatSpan } from './format';
import { ticksFromZero } from './ticks';

export interface AxisTick { readonly at: number; readonly label: string }

const monthDays = 365.25 / 12;

function timeStep(years: number): number {
  const steps = [0.25, 0.5, 1, 2, 5];
  return steps.find((step) => years / step <= 10) ?? 5;
}

export function timeTicks(years: number, { axis }: View): readonly AxisTick[] {
  if (axis === 'days') return ticksFromZero(daysOfYears(years), 8).filter((day) => day <= daysOfYears(years)).map((day) => ({ at: day, label: formatCount(day) }));
  const step = timeStep(years);
  return Array.from({ length: Math.floor(years / step + 1e-9) + 1 }, (_, i) => ({ at: daysOfYears(i * step), label: String(i * step) }));
}

/** Month ends up to and with the last day, the day of surgery first. */
export const monthEnds = (lastDay: number): readonly number[] =>
  // the half day: five years are 1826 whole days, and their last month ends on day 1826.25
  Array.from({ length: Math.floor((lastDay + 0.5) / monthDays + 1e-9) + 1 }, (_, month) => Math.round(month * monthDays));

export function monthLabel(month: number): string {
  if (month === 0) return 'day of surgery';
  if (month < 24 || month % 12 === 0) return formatSpan(month / 12);
  return `${formatSpan(Math.floor(month / 12))} ${month % 12} ${month % 12 === 1 ? 'month' : 'months'}`;
}
