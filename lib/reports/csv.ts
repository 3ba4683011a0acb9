import { smallestCount } from './smallCounts';
import type { Cell, ProtectedTable } from './table';

/** What a file says about itself, a line each. */
export type Provenance = readonly { readonly label: string; readonly text: string }[];

/** A spreadsheet would run text that begins so as a formula (OWASP, "CSV injection"). */
const startsFormula = /^[=+\-@\t\r]/;

const quoted = (words: string): string => {
  const harmless = startsFormula.test(words) ? `'${words}` : words;
  return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
};

function written({ text, value, outside }: Cell): string {
  if (outside !== undefined) return outside;
  if (value === undefined) return quoted(text);
  return Number.isFinite(value) ? String(value) : '';
}

/** The table as CSV (RFC 4180) with full numbers, small counts protected, headed by lines that say where it came from. */
export function toCsv({ title, method, columns, rows }: ProtectedTable, provenance: Provenance): string {
  const head = [
    { label: 'Table', text: title }, { label: 'Method', text: method }, ...provenance,
    { label: 'Small counts', text: `Counts from 1 to ${smallestCount - 1}, and what could be computed back to them, are withheld.` },
  ];
  return [
    ...head.map(({ label, text }) => quoted(`# ${label}: ${text}`)),
    columns.map(({ label }) => quoted(label)).join(','),
    ...rows.map(({ cells }) => cells.map(written).join(',')),
    '',
  ].join('\r\n');
}
