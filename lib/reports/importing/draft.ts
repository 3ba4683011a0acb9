import { TextLayout, type FieldSource, type Mapping, type SourceMapping, type TableMapping } from '../../contract/mapping';
import { filesOf } from '../../intake/checkMapping';
import type { FoundColumn, FoundSource, Inspection } from '../../intake/inspection';
import type { OpenQuestion, Reason, Suggestion } from '../../intake/suggestion';
import { fieldPath } from '../../contract/editMapping';

/** A mapping in the making, beside what the files hold and what the person has said about it. */
export interface Draft {
  readonly sources: readonly FoundSource[];
  readonly mapping: Mapping;
  /** Why the workbench suggested what stands in a field, by `keyOf`. */
  readonly reasons: Readonly<Record<string, Reason>>;
  /** What the person has looked at and said is right, or has chosen: keys of `keyOf`, `codeKey` and `layoutKey`. */
  readonly settled: ReadonlySet<string>;
  /** What the workbench could not tell from the files. */
  readonly questions: readonly OpenQuestion[];
}

const nothingSaid: Mapping['registry'] = { name: '', version: '', opened: '', closing_date: '', deaths_closing_date: '', coverage_percent: null };
export const emptyDraft: Draft = { sources: [], mapping: { mapping: 1, registry: nothingSaid, sources: [] }, reasons: {}, settled: new Set(), questions: [] };

/** What stands in a field, whatever else changes in the mapping and whichever file it is; another column makes another key. */
export const keyOf = (table: TableMapping, field: string, from: FieldSource): string =>
  JSON.stringify([table.table, field, 'column' in from ? { column: from.column } : { constant: from.constant }]);

export const codeKey = (fieldKey: string, value: string): string => `${fieldKey} ${JSON.stringify(value)}`;
export const layoutKey = ({ file, sheet, layout }: FoundSource): string => `layout ${JSON.stringify([file, sheet, layout])}`;
export const closingKey = (closing: string): string => `closing ${closing}`;

/** Whether a mapping's source speaks of this file or sheet. */
export const speaksOf = (source: SourceMapping, found: FoundSource): boolean => filesOf(source, [found]).length > 0;

/**
 * The draft after a new look at the files. What it says of a file already stays, as long as the file has one of its columns; other files get
 * what is suggested. Every file has a source in the draft, if one without a table.
 */
export function withInspection(before: Draft, { sources }: Inspection, { mapping, reasons, questions }: Suggestion): Draft {
  const fits = (source: SourceMapping, found: FoundSource): boolean =>
    speaksOf(source, found) && (source.tables.length === 0 || source.tables.some(({ fields }) => Object.values(fields).some((from) => 'column' in from && found.columns.some(({ name }) => name === from.column))));
  const kept = before.mapping.sources.filter((source) => !sources.some((found) => speaksOf(source, found)) || sources.some((found) => fits(source, found)))
    .filter(({ tables }) => tables.length > 0);
  const suggested = mapping.sources.filter((source) => sources.some((found) => speaksOf(source, found) && !kept.some((other) => fits(other, found))));
  const spoken = [...kept, ...suggested];
  const unspoken = sources.filter((found) => !spoken.some((source) => speaksOf(source, found)))
    .map(({ file, sheet, layout }): SourceMapping => ({ file, sheet, layout, tables: [] }));
  const all = [...spoken, ...unspoken].map((source) => ({ ...source, layout: sources.find((found) => speaksOf(source, found))?.layout ?? source.layout }));
  return {
    sources, questions, settled: before.settled, reasons: { ...before.reasons, ...reasonsOf(mapping, reasons) },
    mapping: { ...mapping, sources: all, registry: merged(before.mapping.registry, mapping.registry) },
  };
}

/** The draft without what it says of files that were there and are not any more. What it says of files that were never there stays: they may come. */
export const withoutGone = (draft: Draft, { sources }: Inspection): Draft => ({
  ...draft, mapping: { ...draft.mapping, sources: draft.mapping.sources.filter((source) => foundFor(draft, source).length === 0 || foundFor({ sources }, source).length > 0) },
});

/** How a mapping that was opened says files are written, where that is not how they were read. */
export function layoutsWanted({ mapping }: Draft, { sources }: Inspection): Readonly<Record<string, TextLayout>> {
  return Object.fromEntries(sources.flatMap((found) => {
    const said = mapping.sources.find((source) => source.tables.length > 0 && speaksOf(source, found))?.layout ?? null;
    return said === null || found.layout === null || JSON.stringify(said) === JSON.stringify(TextLayout.parse(found.layout)) ? [] : [[found.file, said]];
  }));
}

/** What was entered stays; what is empty is taken from the files. */
const merged = (entered: Mapping['registry'], found: Mapping['registry']): Mapping['registry'] => ({
  name: entered.name || found.name, version: entered.version || found.version, opened: entered.opened || found.opened,
  closing_date: entered.closing_date || found.closing_date, deaths_closing_date: entered.deaths_closing_date || found.deaths_closing_date,
  coverage_percent: entered.coverage_percent ?? found.coverage_percent,
});

function reasonsOf({ sources }: Mapping, reasons: readonly Reason[]): Draft['reasons'] {
  const byPath = new Map(reasons.map((reason) => [reason.path, reason]));
  return Object.fromEntries(sources.flatMap((source, s) => source.tables.flatMap((table, t) => Object.entries(table.fields).flatMap(([field, from]) => {
    const reason = byPath.get(fieldPath({ source: s, table: t }, field));
    return reason === undefined ? [] : [[keyOf(table, field, from), reason] as const];
  }))));
}

/** The files of a mapping's source: several where its name has a `*`. */
export const foundFor = ({ sources }: Pick<Draft, 'sources'>, source: SourceMapping): readonly FoundSource[] => sources.filter((found) => speaksOf(source, found));

/** A column of the files of a source, looked at in all of them. */
export function columnOf(found: readonly FoundSource[], name: string): FoundColumn | null {
  const columns = found.flatMap((source) => source.columns.filter((column) => column.name === name));
  const [first, ...others] = columns;
  return first === undefined ? null : others.reduce(together, first);
}

function together(a: FoundColumn, b: FoundColumn): FoundColumn {
  const values = a.values === null || b.values === null ? null : [...counted([...a.values, ...b.values])].map(([value, rows]) => ({ value, rows }));
  return {
    name: a.name, kind: a.kind === 'empty' ? b.kind : b.kind === 'empty' || a.kind === b.kind ? a.kind : 'text', filled: a.filled + b.filled,
    distinct: values?.length ?? Math.max(a.distinct, b.distinct), values,
    dateOrders: a.kind === 'empty' ? b.dateOrders : b.kind === 'empty' ? a.dateOrders : a.dateOrders.filter((order) => b.dateOrders.includes(order)),
    latest: a.latest === null || (b.latest !== null && b.latest > a.latest) ? b.latest : a.latest, caution: a.caution ?? b.caution,
  };
}

function counted(values: readonly { readonly value: string; readonly rows: number }[]): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const { value, rows } of values) counts.set(value, (counts.get(value) ?? 0) + rows);
  return counts;
}

/** The first different values of a column, for a look at them. */
export function samplesOf(found: readonly FoundSource[], name: string, most = 4): readonly string[] {
  const values = found.flatMap(({ columns, preview }) => {
    const at = columns.findIndex((column) => column.name === name);
    return at < 0 ? [] : preview.map((row) => row[at] ?? '');
  });
  const listed = columnOf(found, name)?.values?.map(({ value }) => value) ?? [];
  return [...new Set([...values, ...listed].filter((value) => value !== ''))].slice(0, most);
}
