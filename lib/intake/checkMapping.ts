import { fieldsOf, type Field } from '../contract/fields';
import { formIssues } from '../contract/issues';
import { Mapping, type FieldSource, type SourceMapping, type TableMapping } from '../contract/mapping';
import type { TableName } from '../contract/tables';
import { ordersOf } from './dates';
import type { FoundColumn, FoundSource, Inspection } from './inspection';
import { someOf } from './refusal';
import { fitsPattern } from './suggest/filePatterns';
import type { MappingProblem } from './suggestion';

const groupings = ['class', 'indication', 'sex', 'proximal_fixation', 'distal_fixation', 'hospital_id', 'surgeon_id'];

/** All that is wrong with a mapping: its form, what it asks of files that do not have it, and what it leaves out that no answer can be given without. */
export function checkMapping(given: unknown, inspection: Inspection): readonly MappingProblem[] {
  const parsed = Mapping.safeParse(given);
  if (!parsed.success) return formIssues(parsed.error).map(({ path, message }) => ({ path: path.map(String).join('.'), message: formMessage(given, path, message), blocks: true }));
  const mapping = parsed.data;
  return [
    ...checkRegistry(mapping.registry),
    ...mapping.sources.flatMap((source, i) => checkSource(source, inspection.sources, `sources.${i}`)),
    ...checkTwice(mapping.sources, inspection.sources),
    ...checkMinimum(mapping.sources),
  ];
}

/** An answer that was not given is said to be missing, and not to be of the wrong form. */
function formMessage(given: unknown, path: readonly PropertyKey[], message: string): string {
  const value = path.reduce<unknown>((at, key) => (typeof at === 'object' && at !== null ? (at as Record<PropertyKey, unknown>)[key] : undefined), given);
  return value === '' || value === undefined ? 'This must be given.' : `${message}.`.replace(/\.\.$/, '.');
}

/** Dates that no extract can have; the engine refuses them in other words. */
export function checkRegistry({ opened, closing_date: closing, deaths_closing_date: deaths }: Mapping['registry']): MappingProblem[] {
  const problem = (path: string, message: string): MappingProblem => ({ path, message, blocks: true });
  return [
    ...(closing < opened ? [problem('registry.closing_date', `The closing date ${closing} lies before the first day ${opened}.`)] : []),
    ...(deaths < opened ? [problem('registry.deaths_closing_date', `The closing date of deaths ${deaths} lies before the first day ${opened}.`)] : []),
  ];
}

/** The files and sheets that a source of the mapping names. Without a sheet: the only one. */
export const filesOf = ({ file, sheet }: SourceMapping, sources: readonly FoundSource[]): FoundSource[] =>
  sources.filter((found) => fitsPattern(file, found.file) && (sheet === null || found.sheet === sheet));

function checkSource(source: SourceMapping, sources: readonly FoundSource[], path: string): MappingProblem[] {
  const found = filesOf(source, sources);
  const [first] = found;
  const problem = (at: string, message: string): MappingProblem => ({ path: `${path}${at}`, message, blocks: true });
  if (first === undefined) {
    const names = [...new Set(sources.map(({ file }) => file))], sheets = sources.filter((each) => fitsPattern(source.file, each.file)).map(({ sheet }) => sheet ?? '');
    return [sheets.length > 0 ? problem('.sheet', `There is no sheet ${source.sheet ?? ''}; there are ${someOf(sheets)}.`)
      : problem('.file', `No file is called ${source.file}; there ${names.length === 1 ? 'is' : 'are'} ${names.length === 0 ? 'none' : someOf(names)}.`)];
  }
  const sheetless = source.sheet === null && found.some((each) => found.some((other) => other !== each && other.file === each.file));
  return [
    ...(sheetless ? [problem('.sheet', `${first.file} has several sheets: one of them must be named.`)] : []),
    ...(found.some(({ layout }) => (layout === null) !== (source.layout === null))
      ? [problem('.layout', source.layout === null ? `${first.file} is text: how it is laid out must be given.` : `${first.file} is no text and has no layout.`)] : []),
    ...source.tables.flatMap((table, i) => checkTable(table, source, found, `${path}.tables.${i}`)),
  ];
}

function checkTable(table: TableMapping, source: SourceMapping, found: readonly FoundSource[], path: string): MappingProblem[] {
  const problems: MappingProblem[] = [];
  const say = (at: string, message: string, blocks = true): void => { problems.push({ path: `${path}${at}`, message, blocks }); };
  const missing = (column: string): string[] => found.filter(({ columns }) => !columns.some(({ name }) => name === column)).map(({ file }) => file);
  if (table.when !== null && missing(table.when).length > 0) say('.when', `${someOf(missing(table.when))} has no column ${table.when}.`);
  if (table.when === null && table.unless.length > 0) say('.unless', 'Values that say there is no record need the column that they stand in.');
  for (const field of fieldsOf(table.table)) {
    const from = table.fields[field.name], at = `.fields.${field.name}`;
    if (from === undefined) {
      if (field.required && !hasRowKey(table, source, field.name)) say(at, `${title(table.table)} need ${field.name}: ${field.description}`);
    } else if ('constant' in from) {
      const wrong = constantProblem(field, from.constant);
      if (wrong !== null) say(`${at}.constant`, wrong);
    } else if (missing(from.column).length > 0) {
      say(`${at}.column`, `${someOf(missing(from.column))} has no column ${from.column}.`);
    } else {
      for (const each of checkField(field, from, found)) say(`${at}${each.path}`, each.message, each.blocks);
    }
  }
  return problems;
}

/** Where the file of the procedures has no key, its rows are the keys. */
const hasRowKey = ({ table }: TableMapping, { tables }: SourceMapping, field: string): boolean =>
  field === 'procedure_id' && tables.some((each) => each.table === 'procedures' && each.fields['procedure_id'] === undefined) && (table === 'procedures' || tables.length > 1);

const title = (table: TableName): string => `Records of ${table}`;

function constantProblem(field: Field, constant: string): string | null {
  const list = field.codes.map(({ code }) => code);
  if (list.length > 0) return constant.split(';').every((code) => list.includes(code)) ? null : `${constant} is no code of ${field.name}; there are ${someOf(list)}.`;
  if (field.kind === 'date') return /^\d{4}-\d\d-\d\d$/.test(constant) && ordersOf(constant).length > 0 ? null : `${constant} is no day written as YYYY-MM-DD.`;
  if (field.kind === 'integer' || field.kind === 'number') return Number.isFinite(Number(constant)) ? null : `${constant} is no number.`;
  return null;
}

function checkField(field: Field, from: Exclude<FieldSource, { constant: string }>, found: readonly FoundSource[]): MappingProblem[] {
  const columns = found.flatMap((source) => source.columns.filter(({ name }) => name === from.column));
  const problems = columns.flatMap(({ caution }) => (caution === null ? [] : [{ path: '.column', message: caution, blocks: false }]));
  if (field.kind === 'date') problems.push(...checkDays(from.dates, columns));
  if (field.codes.length === 0) return problems;
  const list = new Set(field.codes.map(({ code }) => code));
  for (const [value, code] of Object.entries(from.codes ?? {})) {
    if (code !== null && !list.has(code)) problems.push({ path: `.codes.${value}`, message: `${code} is no code of ${field.name}; there are ${someOf([...list])}.`, blocks: true });
  }
  const open = columns.flatMap(({ values }) => values ?? []).flatMap(({ value, rows }) => (from.missing.includes(value) ? [] : partsOf(field, from.separator, value).map((part) => ({ part, rows }))))
    .filter(({ part }) => part !== '' && !list.has(part) && from.codes?.[part] === undefined && !from.missing.includes(part));
  if (open.length > 0) {
    const rows = open.reduce((sum, each) => sum + each.rows, 0);
    problems.push({ path: '.codes', message: `${someOf([...new Set(open.map(({ part }) => `‘${part}’`))])} in ${from.column} lead to no code. In ${rows.toLocaleString('en')} of the rows looked at they will be set aside.`, blocks: false });
  }
  return problems;
}

const partsOf = (field: Field, separator: string | undefined, value: string): string[] =>
  (field.kind === 'codes' ? value.split(separator ?? ';').map((part) => part.trim()) : [value]);

function checkDays(order: FoundColumn['dateOrders'][number] | undefined, columns: readonly FoundColumn[]): MappingProblem[] {
  const days = columns.filter(({ filled }) => filled > 0);
  if (order === undefined) {
    const asked = days.find(({ dateOrders }) => dateOrders.length !== 1 || dateOrders[0] !== 'year-month-day');
    return asked === undefined ? [] : [{ path: '.dates', message: asked.kind === 'day' ? `In which order the days of ${asked.name} are written must be given.` : `${asked.name} holds no days, as far as was looked at.`, blocks: asked.kind === 'day' }];
  }
  const other = days.find(({ dateOrders, kind }) => kind === 'day' && !dateOrders.includes(order));
  return other === undefined ? [] : [{ path: '.dates', message: `Days of ${other.name} can’t all be read as ${order.replaceAll('-', ', ')}; those will be set aside.`, blocks: false }];
}

function checkTwice(sources: readonly SourceMapping[], found: readonly FoundSource[]): MappingProblem[] {
  const seen = new Map<FoundSource, number>(), problems: MappingProblem[] = [];
  for (const [i, source] of sources.entries()) {
    for (const each of filesOf(source, found)) {
      const before = seen.get(each);
      if (before !== undefined) problems.push({ path: `sources.${i}.file`, message: `${each.file} is named twice; its records would count twice.`, blocks: true });
      seen.set(each, i);
    }
  }
  return problems;
}

/** The least that answers a question. */
function checkMinimum(sources: readonly SourceMapping[]): MappingProblem[] {
  const tables = sources.flatMap((source) => source.tables), of = (name: TableName): TableMapping[] => tables.filter(({ table }) => table === name);
  const procedures = of('procedures');
  const problem = (message: string): MappingProblem => ({ path: 'sources', message, blocks: true });
  if (procedures.length === 0) return [problem('No file is mapped to the primary procedures.')];
  const grouped = of('components').length > 0 || procedures.some(({ fields }) => groupings.some((name) => fields[name] !== undefined));
  const ends = of('revisions').length > 0 || procedures.some(({ fields }) => fields['follow_up_end'] !== undefined);
  return [
    ...(grouped ? [] : [problem('There is nothing to group by: map a component, or one of class, indication, sex, fixation, hospital and surgeon.')]),
    ...(ends ? [] : [problem('There is neither a day of revision nor an end of follow-up: map the re-operations, or follow_up_end.')]),
  ];
}
