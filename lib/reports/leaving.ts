import type { Left } from '../disclosure/differencing';
import { usualPolicy } from '../disclosure/policy';
import type { Provenance } from './csv';
import type { ProtectedTable } from './table';

/** What a table tells when it leaves, to be held against what left before. */
export function leavingOf({ name, title, columns, rows, policy = usualPolicy }: ProtectedTable, provenance: Provenance): Left {
  const told = new Map<string, number>(), said = new Map<string, number>();
  for (const { block, cells } of rows) {
    const words = cells.filter((_, c) => columns[c]?.numeric !== true).map(({ text, outside }) => outside ?? text).filter((text) => text !== '');
    const row = [...new Set([...(block === undefined ? [] : [block]), ...words])].join(', '), times = (said.get(row) ?? 0) + 1;
    said.set(row, times);
    cells.forEach(({ value, basis, outside, outsideValue }, c) => {
      if (value === undefined || basis?.[0] !== value || (outside !== undefined && outsideValue === undefined)) return;
      told.set(`${row}${times > 1 ? ` (${times})` : ''}: ${columns[c]?.label ?? ''}`, outsideValue ?? value);
    });
  }
  const textOf = (label: string) => provenance.find((entry) => entry.label === label)?.text ?? '';
  return { kind: `${name}, ${textOf('Source')}`, title, asked: provenance.map(({ label, text }) => `${label}: ${text}`).join('\n'), rounding: policy.rounding, told };
}
