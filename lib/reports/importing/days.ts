import { dateOrders, type DateOrder } from '../../contract/mapping';
import { formatList } from '../format';

const months = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'];
const positions: Readonly<Record<DateOrder, readonly [year: number, month: number, day: number]>> = {
  'year-month-day': [0, 1, 2], 'day-month-year': [2, 1, 0], 'month-day-year': [2, 0, 1],
};

/** A day written in digits, read in an order: `3 April 2015`; null where it can't be read so. */
export function dayRead(written: string, order: DateOrder): string | null {
  const parts = written.match(/\d+/g) ?? [];
  const [year, month, day] = positions[order].map((at) => parts[at] ?? '');
  const name = months[Number(month) - 1];
  return name === undefined || day === undefined || year === undefined || !(Number(day) >= 1 && Number(day) <= 31) || !/^(\d\d|\d{4})$/.test(year) ? null : `${Number(day)} ${name} ${year}`;
}

/** The day of a column that shows best how its orders differ. */
export function tellingDay(values: readonly string[], orders: readonly DateOrder[]): string | null {
  const readings = (value: string): number => new Set(orders.map((order) => dayRead(value, order)).filter((day) => day !== null)).size;
  return [...values].sort((a, b) => readings(b) - readings(a))[0] ?? null;
}

/** `How is the day written: is 03/04/2015 3 April 2015 or 4 March 2015?` */
export function dayQuestion(example: string | null, orders: readonly DateOrder[]): string {
  if (example === null) return 'In which order are day, month and year written?';
  const readings = (orders.length > 0 ? orders : dateOrders).map((order) => dayRead(example, order)).filter((day) => day !== null);
  return `Is ${example} ${formatList(readings, 'or')}?`;
}
