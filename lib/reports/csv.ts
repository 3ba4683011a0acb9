import { csvLine } from '../contract/csvText';
import { smallestCount } from './smallCounts';
import type { Cell, ProtectedTable } from './table';

/** What a file says about itself, a line each. */
export type Provenance = readonly { readonly label: string; readonly text: string }[];

function written({ text, value, outside }: Cell): string | number | null {
  if (outside !== undefined) return outside;
  if (value === undefined) return text;
  return Number.isFinite(value) ? value : null;
}

/** The table as CSV (RFC 4180) with full numbers, small counts protected, headed by lines that say where it came from. */
export function toCsv({ title, method, columns, rows }: ProtectedTable, provenance: Provenance): string {
  const head = [
    { label: 'Table', text: title }, { label: 'Method', text: method }, ...provenance,
    { label: 'Small counts', text: `Counts from 1 to ${smallestCount - 1}, and what could be computed back to them, are withheld.` },
  ];
  return [
    ...head.map(({ label, text }) => [`# ${label}: ${text}`]),
    columns.map(({ label }) => label),
    ...rows.map(({ cells }) => cells.map(written)),
  ].map(csvLine).join('');
}
