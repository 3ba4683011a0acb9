import { Mapping, type FieldSource, type MappableTable } from '../../../lib/contract/mapping';
import type { FoundColumn, FoundSource } from '../../../lib/intake/inspection';
import { emptyDraft, type Draft } from '../../../lib/reports/importing/draft';

export const column = (name: string, values: readonly string[], part: Partial<FoundColumn> = {}): FoundColumn => ({
  name, kind: 'text', filled: values.length, distinct: new Set(values).size, dateOrders: [], latest: null, caution: null,
  values: [...new Set(values)].map((value) => ({ value, rows: values.filter((other) => other === value).length })), ...part,
});

export const source = (file: string, columns: readonly FoundColumn[]): FoundSource => ({
  file, sheet: null, format: 'text', bytes: 1000, rows: 10, allRows: 10, doubts: [], columns, preview: [],
  layout: { encoding: 'utf-8', delimiter: ',', decimal: '.', headerLine: 1 },
});

/** A draft in which each file holds one table. */
export function smallDraft(files: readonly { readonly found: FoundSource; readonly table: MappableTable; readonly fields: Readonly<Record<string, FieldSource>> }[], part: Partial<Draft> = {}): Draft {
  const mapping = Mapping.parse({
    mapping: 1,
    registry: { name: 'Harbour', version: '1', opened: '2000-01-01', closing_date: '2020-12-31', deaths_closing_date: '2020-12-31', coverage_percent: null },
    sources: files.map(({ found: { file, layout }, table, fields }) => ({ file, layout, tables: [{ table, fields }] })),
  });
  return { ...emptyDraft, sources: files.map(({ found }) => found), mapping, ...part };
}
