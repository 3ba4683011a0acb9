import { fieldsOf } from '../../contract/fields';
import type { MappableTable } from '../../contract/mapping';
import type { FoundColumn, FoundSource } from '../inspection';
import type { Confidence } from '../suggestion';
import { fileNames, plain, roleNames, synonyms } from './names';

/** A column that by its name may hold a field. */
export interface NamedField {
  readonly field: string;
  readonly column: FoundColumn;
  readonly byName: Confidence;
}

/** Records of one table that a file seems to hold. A wide file has several, and several of one table: `role` or `number` tells them apart. */
export interface TableDraft {
  readonly table: MappableTable;
  readonly fields: readonly NamedField[];
  readonly role: string | null; // of components that have columns of their own
  readonly beside: boolean; // procedures are the rows of the file, and a row need not hold such a record
}

const tables = Object.keys(synonyms) as MappableTable[];

/** The fields of a table among the columns, by their names; each column and each field once. */
export function fieldsIn(table: MappableTable, columns: readonly FoundColumn[], nameOf: (column: FoundColumn) => string = defaultName): NamedField[] {
  const found: NamedField[] = [], taken = new Set<string>();
  const take = (field: string, byName: Confidence, is: (name: string) => boolean): void => {
    const column = columns.find((each) => !taken.has(each.name) && each.caution === null && is(nameOf(each)));
    if (column === undefined || found.some((each) => each.field === field)) return;
    taken.add(column.name);
    found.push({ field, column, byName });
  };
  const names = fieldsOf(table).map(({ name }) => name);
  for (const field of names) take(field, nameOf === defaultName ? 'certain' : 'likely', (name) => name === plain(field));
  for (const field of names) {
    for (const synonym of (synonyms[table][field] ?? '').split(' ')) take(field, 'likely', (name) => name === synonym);
  }
  return found;
}
const defaultName = ({ name }: FoundColumn): string => plain(name);

const has = (fields: readonly NamedField[], ...names: readonly string[]): boolean => names.every((name) => fields.some(({ field }) => field === name));
const any = (fields: readonly NamedField[], ...names: readonly string[]): boolean => names.some((name) => has(fields, name));

/** What a file has to hold to be taken for each table, in the order in which it is tried. */
const tellTales: readonly { readonly table: MappableTable; readonly is: (fields: readonly NamedField[]) => boolean }[] = [
  { table: 'procedures', is: (f) => has(f, 'procedure_date') },
  { table: 'revisions', is: (f) => has(f, 'revision_date') && any(f, 'procedure_id', 'patient_id') },
  { table: 'components', is: (f) => any(f, 'procedure_id', 'patient_id') && has(f, 'role') && any(f, 'model_code', 'design_class') },
  { table: 'models', is: (f) => has(f, 'model_code') && any(f, 'role', 'maker_code', 'design_class') },
  { table: 'followups', is: (f) => any(f, 'procedure_id') && any(f, 'visit', 'visit_date') },
  { table: 'deaths', is: (f) => has(f, 'death_date', 'patient_id') },
];

/** The tables that a file seems to hold, by the names of its columns and its own. */
export function tablesIn(source: FoundSource): TableDraft[] {
  const { columns } = source;
  const byTable = new Map(tables.map((table) => [table, fieldsIn(table, columns, defaultName)]));
  const named = plain((source.sheet ?? source.file).replace(/\.\w+$/, ''));
  const byName = tables.find((table) => named === table) ?? tables.find((table) => fileNames[table].test(named));
  const fits = tellTales.filter(({ table, is }) => is(byTable.get(table) ?? []));
  const main = fits.find(({ table }) => table === byName)?.table ?? fits[0]?.table ?? datedBy(byName, byTable, columns);
  if (main === undefined) return [];
  const first: TableDraft = { table: main, fields: withDate(main, byTable.get(main) ?? [], columns), role: null, beside: false };
  return main === 'procedures' ? [first, ...besides(source, first)] : [first];
}

/** A file whose name says what it holds, with one column of days that is called no more than a date. */
function datedBy(table: MappableTable | undefined, byTable: ReadonlyMap<MappableTable, readonly NamedField[]>, columns: readonly FoundColumn[]): MappableTable | undefined {
  if (table === undefined || (table !== 'procedures' && table !== 'revisions' && table !== 'deaths')) return undefined;
  return withDate(table, byTable.get(table) ?? [], columns).some(({ field }) => field === dates[table]) && any(byTable.get(table) ?? [], 'procedure_id', 'patient_id') ? table : undefined;
}

const dates = { procedures: 'procedure_date', revisions: 'revision_date', deaths: 'death_date' } as const;
const plainDates = ['date', 'datum', 'fecha', 'dato', 'day', 'dateof'];

function withDate(table: MappableTable, fields: readonly NamedField[], columns: readonly FoundColumn[]): readonly NamedField[] {
  const field = table in dates ? dates[table as keyof typeof dates] : null;
  if (field === null || has(fields, field)) return fields;
  const column = columns.find((each) => each.kind === 'day' && plainDates.includes(plain(each.name)));
  return column === undefined ? fields : [...fields, { field, column, byName: 'unsure' }];
}

/** What a wide file holds beside its procedures: components by role, re-operations by number, the death. */
function besides({ columns }: FoundSource, procedures: TableDraft): TableDraft[] {
  const taken = new Set(procedures.fields.map(({ column }) => column.name));
  const free = columns.filter(({ name }) => !taken.has(name));
  const common = (table: MappableTable, drawn: readonly NamedField[]): NamedField[] =>
    ['procedure_id', 'patient_id', 'joint', 'side'].flatMap((field) => {
      const from = procedures.fields.find((each) => each.field === field);
      return from !== undefined && !has(drawn, field) && fieldsOf(table).some(({ name }) => name === field) ? [from] : [];
    });
  const drafts: TableDraft[] = [];
  const roles = [...new Set(free.map(roleOf).filter((role) => role !== null))];
  for (const role of roles) {
    const fields = fieldsIn('components', free.filter((column) => roleOf(column) === role), (column) => plain(column.name).replace(roleNameIn(column) ?? '', ''));
    if (any(fields, 'model_code', 'design_class')) drafts.push({ table: 'components', fields: [...common('components', fields), ...fields], role, beside: true });
  }
  const ofParts = new Set(drafts.flatMap(({ fields }) => fields.map(({ column }) => column.name)));
  const numbers = [...new Set(free.filter(({ name }) => !ofParts.has(name)).map(numberIn))].sort();
  for (const number of numbers) {
    const fields = fieldsIn('revisions', free.filter((column) => !ofParts.has(column.name) && numberIn(column) === number), (column) => plain(column.name).replace(number, ''));
    if (has(fields, 'revision_date')) drafts.push({ table: 'revisions', fields: [...common('revisions', fields), ...fields], role: null, beside: true });
  }
  const death = fieldsIn('deaths', free).filter(({ field }) => field === 'death_date');
  if (death.length > 0) drafts.push({ table: 'deaths', fields: [...common('deaths', death), ...death], role: null, beside: true });
  return drafts;
}

const roleNameIn = ({ name }: FoundColumn): string | null => roleNames.find((each) => plain(name).startsWith(each.name) || plain(name).endsWith(each.name))?.name ?? null;
const roleOf = (column: FoundColumn): string | null => roleNames.find(({ name }) => name === roleNameIn(column))?.role ?? null;
/** The number that tells the first re-operation from the second; empty where there is none. */
const numberIn = ({ name }: FoundColumn): string => /\d+/.exec(plain(name))?.[0] ?? '';
