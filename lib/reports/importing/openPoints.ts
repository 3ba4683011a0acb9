import { fieldsOf, type Field } from '../../contract/fields';
import type { FieldSource, SourceMapping, TableMapping } from '../../contract/mapping';
import { fieldPath, type TablePlace } from '../../contract/editMapping';
import type { MappingProblem } from '../../intake/suggestion';
import { codeRows } from './codes';
import { closingKey, codeKey, columnOf, foundFor, keyOf, layoutKey, type Draft } from './draft';
import { fieldWords, recordsWords, sourceName } from './words';

export const steps = ['files', 'tables', 'columns', 'codes', 'extract', 'load'] as const;
export type Step = (typeof steps)[number];

export const stepTitles: Readonly<Record<Step, string>> = {
  files: 'Files', tables: 'What each file holds', columns: 'Columns', codes: 'Codes', extract: 'The extract', load: 'Check and load',
};

/** Something the person has still to say. `path` of the mapping, for the place on the page. */
export interface OpenPoint {
  readonly step: Step;
  readonly path: string;
  readonly text: string; // a finished sentence
}

/** A field of the draft that comes from somewhere. */
export interface MappedField {
  readonly place: TablePlace;
  readonly source: SourceMapping;
  readonly table: TableMapping;
  readonly field: Field;
  readonly from: FieldSource;
}

export const mappedFields = ({ mapping }: Pick<Draft, 'mapping'>): readonly MappedField[] =>
  mapping.sources.flatMap((source, s) => source.tables.flatMap((table, t) => fieldsOf(table.table).flatMap((field) => {
    const from = table.fields[field.name];
    return from === undefined ? [] : [{ place: { source: s, table: t }, source, table, field, from }];
  })));

const whereWords = ({ source, table, field }: MappedField): string => `${fieldWords(field)} (${recordsWords(table)}, ${sourceName(source)})`;

/** Fields that are needed and come from nowhere yet, of what `checkMapping` found. */
export const neededPoints = ({ mapping }: Pick<Draft, 'mapping'>, problems: readonly MappingProblem[]): readonly OpenPoint[] => problems.flatMap(({ path }): OpenPoint[] => {
  const [, s, t, name] = /^sources\.(\d+)\.tables\.(\d+)\.fields\.([a-z_]+)$/.exec(path) ?? [], source = mapping.sources[Number(s)], table = source?.tables[Number(t)];
  if (source === undefined || table === undefined || name === undefined || table.fields[name] !== undefined) return [];
  return [{ step: 'columns', path, text: `Say which column is ${fieldWords({ name })} (${recordsWords(table)}, ${sourceName(source)}), or what it is in every record.` }];
});

/** All that only the person can say, in the order of the page. Problems that `checkMapping` finds come on top of these. */
export function openPoints(draft: Draft): readonly OpenPoint[] {
  const { mapping, sources, settled, reasons } = draft;
  const points: OpenPoint[] = [];
  const say = (step: Step, path: string, text: string): void => { points.push({ step, path, text }); };
  if (sources.length === 0) return [{ step: 'files', path: '', text: 'Choose the files first.' }];
  for (const found of sources) {
    if (found.doubts.length > 0 && !settled.has(layoutKey(found))) say('files', layoutKey(found), `Confirm how ${sourceName(found)} is written.`);
  }
  if (!mapping.sources.some(({ tables }) => tables.some(({ table }) => table === 'procedures'))) say('tables', '', 'Say which file holds the primary procedures.');
  for (const mapped of mappedFields(draft)) {
    const { place, source, table, field, from } = mapped;
    const path = fieldPath(place, field.name), key = keyOf(table, field.name, from);
    const column = 'column' in from ? columnOf(foundFor(draft, source), from.column) : null; // where there is none, checkMapping says so
    const asksOrder = field.kind === 'date' && 'column' in from && from.dates === undefined && column !== null && column.dateOrders.length > 1;
    const undecided = field.list === null || column === null || !('column' in from) ? [] : (codeRows(field, from, column) ?? []).filter(({ value, becomes }) => becomes === undefined && !settled.has(codeKey(key, value)));
    if (asksOrder) say('columns', path, `Say how the days of ${whereWords(mapped)} are written.`);
    else if (undecided.length === 0 && reasons[key]?.confidence === 'unsure' && !settled.has(key)) say('columns', path, `Look at ${whereWords(mapped)}: the suggestion is unsure.`);
    if (undecided.length > 0) say('codes', path, `${undecided.length === 1 ? 'One value' : `${undecided.length} values`} of ${whereWords(mapped)} ${undecided.length === 1 ? 'is' : 'are'} no code of the dictionary yet.`);
  }
  const { name, version, opened, closing_date: closing, deaths_closing_date: deathsClosing } = mapping.registry;
  for (const [field, value, words] of [
    ['name', name, 'Name the registry.'], ['version', version, 'Say which version of the extract this is.'], ['opened', opened, 'Say from which day data were collected.'],
    ['closing_date', closing, 'Say to which day revisions are complete.'], ['deaths_closing_date', deathsClosing, 'Say to which day deaths are complete.'],
  ] as const) if (value === '') say('extract', `registry.${field}`, words);
  if (closing !== '' && !settled.has(closingKey(closing))) say('extract', 'registry.closing_date', 'Confirm the closing date: follow-up ends there, and every number depends on it.');
  return points.sort((a, b) => steps.indexOf(a.step) - steps.indexOf(b.step));
}
