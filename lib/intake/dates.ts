import type { DateOrder } from '../contract/mapping';

// Ways of writing a calendar day, as regular expressions that JavaScript and the engine read alike. A year has four digits: with two, the
// century is not written, and nobody here may add it. A time of day behind the day is left out; one with a time zone is no calendar day.
const time = '(?:[ T][0-9]{1,2}:[0-9]{2}(?::[0-9]{2}(?:[.,][0-9]+)?)?(?: ?[AaPp][Mm])?)?';
const between = '(?:-([0-9]{1,2})-|/([0-9]{1,2})/|\\.([0-9]{1,2})\\.| ([0-9]{1,2}) )';
const yearFirst = `([0-9]{4})${between}([0-9]{1,2})${time}`;
const yearLast = `([0-9]{1,2})${between}([0-9]{4})${time}`;

/** `parts`: what to replace a match by to get year-month-day. */
export interface DatePattern {
  readonly pattern: string; // of the whole cell
  readonly parts: string; // with \1 … for the groups
}

/** How each order is written in digits. */
export const datePatterns: Record<DateOrder, DatePattern> = {
  'year-month-day': { pattern: yearFirst, parts: '\\1-\\2\\3\\4\\5-\\6' },
  'day-month-year': { pattern: yearLast, parts: '\\6-\\2\\3\\4\\5-\\1' },
  'month-day-year': { pattern: yearLast, parts: '\\6-\\1-\\2\\3\\4\\5' },
};

/** 20150403, the basic form of ISO 8601: year-month-day. */
export const compactDate: DatePattern = { pattern: `([0-9]{4})([0-9]{2})([0-9]{2})${time}`, parts: '\\1-\\2-\\3' };

/** 3-Apr-2015, 03APR2015: day-month-year, the month by its English name. */
export const namedMonth = { pattern: `([0-9]{1,2})[-/. ]?([A-Za-z]{3})[a-z]{0,6}[-/. ]{0,2}([0-9]{4})${time}`, months: 'janfebmaraprmayjunjulaugsepoctnovdec' } as const;

const whole = (pattern: string): RegExp => new RegExp(`^${pattern}$`);
const numeric = (Object.entries(datePatterns) as [DateOrder, DatePattern][]).map(([order, { pattern, parts }]) => ({ order, parts, regex: whole(pattern) }));
const compact = whole(compactDate.pattern), named = whole(namedMonth.pattern), twoDigits = /^\d{1,2}[-/. ]\d{1,2}[-/. ]\d{2}$/;

/** The orders in which a text is a calendar day between 1900 and 2100; none: it is not written as one. */
export function ordersOf(text: string): DateOrder[] {
  const orders = numeric.filter(({ regex, parts }) => isDay(replaced(text, regex, parts))).map(({ order }) => order);
  if (isDay(replaced(text, compact, compactDate.parts))) orders.push('year-month-day');
  const [, day = '', month = '', year = ''] = named.exec(text) ?? [];
  const place = namedMonth.months.indexOf(month.toLowerCase());
  if (month !== '' && place % 3 === 0 && isDay(`${year}-${place / 3 + 1}-${day}`)) orders.push('day-month-year');
  return orders;
}

/** The day that a text is when read in an order, as ISO 8601; null: none, or one with the name of its month. */
export function dayIn(order: DateOrder, text: string): string | null {
  const digits = numeric.find((each) => each.order === order), candidates = digits === undefined ? [] : [replaced(text, digits.regex, digits.parts)];
  if (order === 'year-month-day') candidates.push(replaced(text, compact, compactDate.parts));
  const [year = '', month = '', day = ''] = candidates.find(isDay)?.split('-') ?? [];
  return year === '' ? null : `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`;
}

/** A day with a year of two digits, which is refused. */
export const hasShortYear = (text: string): boolean => twoDigits.test(text);

const replaced = (text: string, regex: RegExp, parts: string): string | null =>
  (regex.test(text) ? text.replace(regex, parts.replace(/\\(\d)/g, '$$$1')) : null);

function isDay(parts: string | null): boolean {
  const [year = 0, month = 0, day = 0] = (parts ?? '').split('-').map(Number);
  return year >= 1900 && year <= 2100 && month >= 1 && month <= 12 && day >= 1 && day <= new Date(Date.UTC(year, month, 0)).getUTCDate();
}
