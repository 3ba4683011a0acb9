import { dateOf, dayOf } from '../lib/contract/calendarDay';
import { extract, volume, weekendShare } from './scenario';

const isoDates = new Map<number, string>();

/** ISO 8601 date of a day, a whole number of days since 1970-01-01; the same few thousand are asked for again and again. */
export function isoOf(day: number): string {
  let text = isoDates.get(day);
  if (text === undefined) isoDates.set(day, (text = dateOf(day)));
  return text;
}

export const openedDay = dayOf(extract.opened);
export const closingDay = dayOf(extract.closingDate);
export const deathsClosingDay = dayOf(extract.deathsClosingDate);
export const daysPerYear = 365.25;

/** Calendar year with its fraction, such as 2010.5 for the middle of 2010. */
export const yearOf = (day: number): number => 1970 + day / daysPerYear;

/** A curve through points (year, value), straight between them and level outside. */
export type YearCurve = readonly (readonly [year: number, value: number])[];

export function valueIn(curve: YearCurve, year: number): number {
  let before = curve[0]!;
  for (const point of curve) {
    if (year < point[0]) {
      const span = point[0] - before[0];
      return span <= 0 ? point[1] : before[1] + ((point[1] - before[1]) * (year - before[0])) / span;
    }
    before = point;
  }
  return before[1];
}

/** How many procedures each day has, from the opening to the closing day, summing to `total`. */
export function* dailyQuotas(total: number): Generator<{ readonly day: number; readonly quota: number }> {
  const weight = (day: number) => valueIn(volume, yearOf(day)) * ((day + 4) % 7 % 6 === 0 ? weekendShare : 1);
  let all = 0;
  for (let day = openedDay; day <= closingDay; day++) all += weight(day);
  let soFar = 0;
  let given = 0;
  for (let day = openedDay; day <= closingDay; day++) {
    soFar += weight(day);
    const due = day === closingDay ? total : Math.floor((soFar / all) * total);
    yield { day, quota: due - given };
    given = due;
  }
}
