import type { FieldSource, Mapping, SourceMapping, TableMapping } from './mapping';

// Changes of a mapping that is being made. A draft may have sources without a table; a finished mapping has none.

/** Of a table in a mapping: positions from 0. */
export interface TablePlace { readonly source: number; readonly table: number }

export const fieldPath = ({ source, table }: TablePlace, field: string): string => `sources.${source}.tables.${table}.fields.${field}`;

const replaced = <T>(list: readonly T[], at: number, change: (item: T) => T): T[] => list.map((item, i) => (i === at ? change(item) : item));

export const withSource = (mapping: Mapping, at: number, part: Partial<SourceMapping>): Mapping =>
  ({ ...mapping, sources: replaced(mapping.sources, at, (source) => ({ ...source, ...part })) });

export const withTable = (mapping: Mapping, { source, table }: TablePlace, part: Partial<TableMapping>): Mapping =>
  ({ ...mapping, sources: replaced(mapping.sources, source, (s) => ({ ...s, tables: replaced(s.tables, table, (t) => ({ ...t, ...part })) })) });

export const withAddedTable = (mapping: Mapping, source: number, table: TableMapping): Mapping =>
  ({ ...mapping, sources: replaced(mapping.sources, source, (s) => ({ ...s, tables: [...s.tables, table] })) });

export const withoutTable = (mapping: Mapping, { source, table }: TablePlace): Mapping =>
  ({ ...mapping, sources: replaced(mapping.sources, source, (s) => ({ ...s, tables: s.tables.filter((_, t) => t !== table) })) });

/** @param from null: the field is not in the files. */
export function withField(mapping: Mapping, place: TablePlace, field: string, from: FieldSource | null): Mapping {
  const others = Object.entries(mapping.sources[place.source]?.tables[place.table]?.fields ?? {}).filter(([name]) => name !== field);
  return withTable(mapping, place, { fields: Object.fromEntries(from === null ? others : [...others, [field, from]]) });
}

/** What can be kept and used: without the sources that hold nothing, which move those behind them forward. */
export const finishedMapping = (mapping: Mapping): Mapping => ({ ...mapping, sources: mapping.sources.filter(({ tables }) => tables.length > 0) });
