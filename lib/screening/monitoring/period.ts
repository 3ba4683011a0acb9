import { dateOf, dayOf } from '../../contract/calendarDay';
import type { LookPeriod, MonitoringQuestion } from '../../contract/monitoringQuestion';
import type { Source } from '../../engine/loadedExtract';
import type { MonitoredPeriod } from './monitoringResult';

/** The last day that charts go up to: the one asked for, or where reporting is complete; never beyond the closing date. */
export const lastDayOf = ({ lastDay, lagDays }: MonitoringQuestion, { closingDate }: Source): number =>
  Math.min(dayOf(closingDate), lastDay === null ? dayOf(closingDate) - lagDays : dayOf(lastDay));

/** `firstProcedure`: day of the subject's first procedure. */
export function periodOf(question: MonitoringQuestion, { opened, closingDate }: Source, firstProcedure: number): MonitoredPeriod {
  const closingDay = dayOf(closingDate), lastDay = lastDayOf(question, { closingDate } as Source), openingDay = dayOf(opened);
  return {
    firstDay: question.firstDay === null ? Math.max(openingDay, firstProcedure) : dayOf(question.firstDay),
    lastDay, closingDay,
    looks: question.looks,
    beforeOpening: question.firstDay !== null && dayOf(question.firstDay) < openingDay,
    intoLag: lastDay > closingDay - question.lagDays,
  };
}

const monthsOf: Readonly<Record<LookPeriod, number>> = { month: 1, quarter: 3, year: 12 };

/** The last day of each month, quarter or year in the period, and the last day of the period itself. */
export function lookDays({ firstDay, lastDay, looks }: Pick<MonitoredPeriod, 'firstDay' | 'lastDay' | 'looks'>): readonly number[] {
  const every = monthsOf[looks], days: number[] = [], start = new Date(`${dateOf(firstDay)}T00:00:00Z`);
  for (let month = Math.floor(start.getUTCMonth() / every) * every + every; ; month += every) {
    const day = dayOf(new Date(Date.UTC(start.getUTCFullYear(), month, 0)).toISOString().slice(0, 10)); // day 0: the last of the month before
    if (day >= lastDay) return [...days, lastDay];
    days.push(day);
  }
}
