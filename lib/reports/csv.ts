import { csvLine } from '../contract/csvText';
import { usualPolicy } from '../disclosure/policy';
import { policyWords } from './policyWords';
import type { Cell, ProtectedTable } from './table';

/** What a file says about itself, a line each. */
export type Provenance = readonly { readonly label: string; readonly text: string }[];

function written({ text, value, outside, outsideValue }: Cell): string | number | null {
  if (outsideValue !== undefined) return outsideValue;
  if (outside !== undefined) return outside;
  if (value === undefined) return text;
  return Number.isFinite(value) ? value : null;
}

/** The table as CSV (RFC 4180) with full numbers, small counts protected, headed by lines that say where it came from. */
export function toCsv({ title, method, columns, rows, policy = usualPolicy }: ProtectedTable, provenance: Provenance): string {
  const head = [
    { label: 'Table', text: title }, { label: 'Method', text: method }, ...provenance,
    { label: 'Small counts', text: policyWords(policy) },
  ];
  return [
    ...head.map(({ label, text }) => [`# ${label}: ${text}`]),
    columns.map(({ label }) => label),
    ...rows.map(({ cells }) => cells.map(written)),
  ].map(csvLine).join('');
}
