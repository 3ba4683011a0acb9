import type { DateOrder, TextLayout } from '../contract/mapping';
import { cautionOf } from './cautions';
import { dayIn, hasShortYear, ordersOf } from './dates';
import { mostValues, type FoundColumn } from './inspection';

/** Names by which a mapping can tell columns apart: without white space around them, a second `date` as `date (2)`, one without a name by its place. */
export function columnNames(header: readonly string[]): string[] {
  const names: string[] = [];
  for (const [i, cell] of header.entries()) {
    const name = cell.trim() === '' ? `column ${i + 1}` : cell.trim().slice(0, 180);
    let unique = name;
    for (let n = 2; names.includes(unique); n++) unique = `${name} (${n})`;
    names.push(unique);
  }
  return names;
}

/** Where the line of names is missing or damaged, a record stands in its place: three digits in a row may be a key or a day. */
export const mayBeKey = (name: string): boolean => /\d{3}/.test(name);

/** The name of a column for reports and messages; one that may be a key is told by its place, from 0. */
export const shownColumn = (name: string, place: number): string => (mayBeKey(name) ? `column ${place + 1}` : name.slice(0, 60));

const decimals: Record<TextLayout['decimal'], RegExp> = { '.': /^-?\d+(\.\d+)?([eE]-?\d{1,2})?$/, ',': /^-?\d+(,\d+)?([eE]-?\d{1,2})?$/ };
const wholeNumber = /^-?\d{1,15}$/;

/** White space around a cell is no part of its value, here and when a mapping is applied. */
export const trimmed = (cell: string): string => cell.replace(/^[ \t\u00A0]+|[ \t\u00A0]+$/g, '');

/** What the cells of a column hold, as far as they were looked at. */
export function describeColumn(name: string, cells: readonly string[], decimal: TextLayout['decimal']): { readonly column: FoundColumn; readonly doubts: readonly string[] } {
  const counts = new Map<string, number>();
  let filled = 0;
  for (const cell of cells) {
    const value = trimmed(cell);
    if (value === '') continue;
    filled++;
    counts.set(value, (counts.get(value) ?? 0) + 1);
  }
  const distinct = [...counts.keys()];
  const { orders, days, doubts } = dayOrders(name, distinct);
  const isNumber = distinct.every((value) => decimals[decimal].test(value));
  const kind = filled === 0 ? 'empty'
    : days ? 'day'
    : distinct.every((value) => wholeNumber.test(value)) ? 'whole number'
    : isNumber ? 'number' : 'text';
  const values = distinct.length > mostValues ? null
    : [...counts].map(([value, rows]) => ({ value, rows })).sort((a, b) => b.rows - a.rows || (a.value < b.value ? -1 : 1));
  const [order, ...others] = orders;
  const latest = order === undefined || others.length > 0 ? null : distinct.map((value) => dayIn(order, value)).reduce((a, b) => (a === null || (b !== null && b > a) ? b : a), null);
  return { column: { name, kind, filled, distinct: distinct.length, values, dateOrders: orders, latest, caution: cautionOf(name, distinct) }, doubts };
}

/** Most of the values are days: the orders that all of those that are days fit. */
function dayOrders(name: string, distinct: readonly string[]): { orders: readonly DateOrder[]; days: boolean; doubts: readonly string[] } {
  const none = { orders: [], days: false };
  const short = distinct.filter(hasShortYear).length;
  if (short * 2 > distinct.length) {
    return { ...none, doubts: [`${name} holds days with years of two digits. The century is not written: write the years with four digits.`] };
  }
  const fitting = distinct.map(ordersOf).filter((orders) => orders.length > 0);
  if (fitting.length === 0 || fitting.length * 10 < distinct.length * 8) return { ...none, doubts: [] };
  const orders = fitting.reduce((all, each) => all.filter((order) => each.includes(order)));
  return orders.length > 0 ? { orders, days: true, doubts: [] }
    : { ...none, days: true, doubts: [`${name} holds days written in more than one order: some of them can only be read day first, others only month or year first.`] };
}
