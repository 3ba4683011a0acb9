import { fieldsOf } from '../../contract/fields';
import type { FieldSource, SourceMapping, TableMapping } from '../../contract/mapping';
import { fieldSql, missingValues, recordedSql } from './fieldSql';
import { quoteName, quoteText } from './quoting';

type ColumnSource = Exclude<FieldSource, { readonly constant: string }>;
export const isColumn = (source: FieldSource): source is ColumnSource => 'column' in source;

/** Where the rows of a source come from: SQL with the column `row` (from 0) and, for each column of the file that is wanted, its cells (see `cellSql`). */
export interface Rows {
  readonly from: string;
  /** The name of the SQL column for a column of the file. */
  readonly column: (name: string) => string;
  /** The name of the file and, for a row, what the person's program calls it: keys that the file lacks are made of them. */
  readonly file: string;
  readonly firstLine: number;
}

/** The columns of a file that a mapping of its tables reads. */
export const columnsOf = (tables: readonly TableMapping[]): string[] =>
  [...new Set(tables.flatMap(({ when, fields }) => [...(when === null ? [] : [when]), ...Object.values(fields).filter(isColumn).map(({ column }) => column)]))];

/** The name of the column that holds what the file holds of a field. */
export const originalOf = (field: string): string => `in the file: ${field}`;

/**
 * SQL for the records that one mapping of a table finds in the rows: `record`, a text column for each of its fields as the data dictionary
 * writes it, and what the file holds beside it. Records are numbered `first + row · every`. Text only; nothing is run.
 * @param typed SQL over the rows for fields whose values are known: they are given as they are, without what the file holds
 */
export function recordsSql(
  rows: Rows, source: SourceMapping, mapping: TableMapping, { first, every }: { readonly first: number; readonly every: number }, typed: ReadonlyMap<string, string> = new Map(),
): string {
  const mapped = fieldsOf(mapping.table).flatMap((field) => {
    const from = mapping.fields[field.name];
    return from === undefined ? [] : [{ field, from, name: quoteName(field.name), original: quoteName(originalOf(field.name)), known: typed.get(field.name) }];
  });
  const known = mapped.flatMap((each) => (each.known === undefined ? [] : [{ ...each, known: each.known }])), fields = mapped.filter((each) => each.known === undefined);
  const key = hasRowKey(source, mapping) ? [`${quoteText(`${rows.file.slice(-40)}#`)} || (row + ${rows.firstLine})`] : [];
  const cells = fields.map(({ from, original }) => `${isColumn(from) ? recordedSql(rows.column(from.column), missingValues(from)) : quoteText(from.constant)} AS ${original}`);
  const days: string[] = []; // they take long to read, and many rows have the same: each is read once
  const values = fields.map(({ field, from, name, original }) => {
    if (!isColumn(from)) return `${original} AS ${name}, ${original}`;
    const read = fieldSql(field, from, original, source.layout?.decimal ?? '.');
    if (field.kind !== 'date') return `${read} AS ${name}, ${original}`;
    days.push(`LEFT JOIN (SELECT ${original}, ${read} AS ${name} FROM (SELECT DISTINCT ${rows.column(from.column)} AS ${original} FROM ${rows.from})) USING (${original})`);
    return `${name}, ${original}`;
  });
  return `(SELECT record, ${[...known.map(({ name }) => name), ...values, ...key.flatMap(() => ['procedure_id', `procedure_id AS ${quoteName(originalOf('procedure_id'))}`])].join(', ')}
    FROM (SELECT (${first} + row * ${every})::INTEGER AS record, ${[...known.map(({ known: value, name }) => `${value} AS ${name}`), ...cells, ...key.map((made) => `${made} AS procedure_id`)].join(', ')} FROM ${rows.from} WHERE ${holdsSql(rows, source, mapping)})
    ${days.join(' ')})`;
}

/** The columns by which it is told whether a row holds a record of the mapping. */
export const conditionColumns = ({ tables }: SourceMapping, mapping: TableMapping): string[] => (mapping.when === null ? [] : [mapping.when, ...ownColumns(tables, mapping)]);

/** SQL: does the row hold a record of this mapping? */
export function holdsSql(rows: Rows, { tables }: SourceMapping, mapping: TableMapping): string {
  const { when, unless } = mapping;
  if (when === null) return 'true';
  const filled = (column: string): string => `${recordedSql(rows.column(column), missingIn(mapping, column))} IS NOT NULL`;
  const own = ownColumns(tables, mapping);
  const no = unless.length === 0 ? '' : `WHEN ${rows.column(when)} IN (${unless.map(quoteText).join(', ')}) THEN false `;
  return `CASE ${no}WHEN ${[when, ...own].map(filled).join(' OR ')} THEN true ELSE false END`;
}

/** SQL: a row that says there is no record, but holds parts of one. */
export function contradictsSql(rows: Rows, { tables }: SourceMapping, mapping: TableMapping): string {
  const { when, unless } = mapping, own = ownColumns(tables, mapping);
  if (when === null || unless.length === 0 || own.length === 0) return 'false';
  const filled = (column: string): string => `${recordedSql(rows.column(column), missingIn(mapping, column))} IS NOT NULL`;
  return `coalesce(${rows.column(when)} IN (${unless.map(quoteText).join(', ')}), false) AND (${own.map(filled).join(' OR ')})`;
}

const missingIn = ({ fields }: TableMapping, column: string): string[] =>
  Object.values(fields).filter(isColumn).filter((source) => source.column === column).flatMap(missingValues);

/** Columns that no other mapping of the file reads. */
function ownColumns(tables: readonly TableMapping[], mapping: TableMapping): string[] {
  const others = new Set(columnsOf(tables.filter((each) => each !== mapping)));
  return columnsOf([{ ...mapping, when: null }]).filter((column) => column !== mapping.when && !others.has(column));
}

/** Where the procedures of a file have no key, its rows are their keys, in every table of the file. */
export function hasRowKey({ tables }: SourceMapping, { table, fields }: TableMapping): boolean {
  const ofProcedures = tables.find((each) => each.table === 'procedures');
  return ofProcedures !== undefined && ofProcedures.fields['procedure_id'] === undefined && fields['procedure_id'] === undefined
    && fieldsOf(table).some(({ name }) => name === 'procedure_id');
}
