import type { Field } from '../../contract/fields';
import type { FieldSource, TextLayout } from '../../contract/mapping';
import { dayText } from './dayText';
import { quoteText } from './quoting';

type ColumnSource = Exclude<FieldSource, { readonly constant: string }>;

/** No date, number or code: stands for a cell that can't be read as the mapping says. What the file holds is shown in its place. */
const unreadable = quoteText('?');
const inList = (values: readonly string[]): string => values.map(quoteText).join(', ');

/** White space around a cell is no part of its value; an empty cell is null. `padded`: there may be some. */
export const cellSql = (text: string, padded: boolean): string => `nullif(${padded ? `trim(${text}, ${quoteText(' \t\u00A0')})` : text}, '')`;

/** Values of the column that mean `not recorded`. */
export const missingValues = ({ missing, codes = {} }: ColumnSource): string[] =>
  [...missing, ...Object.entries(codes).filter(([, code]) => code === null).map(([value]) => value)];

/** The cell, or null where its value means `not recorded`. */
export function recordedSql(cell: string, missing: readonly string[]): string {
  return missing.length === 0 ? cell : `CASE WHEN ${cell} IN (${inList(missing)}) THEN NULL ELSE ${cell} END`;
}

/**
 * SQL: the text of a field as the data dictionary writes it, from a cell that is recorded.
 * @param cell SQL of the cell, evaluated more than once: the name of a column
 */
export function fieldSql(field: Field, source: ColumnSource, cell: string, decimal: TextLayout['decimal']): string {
  if (field.kind === 'codes') return codesSql(source, cell);
  const coded = codedSql(source, cell);
  switch (field.kind) {
    case 'date': return readable(cell, coded, dayText(coded, source.dates ?? 'year-month-day'));
    case 'integer': case 'number': return readable(cell, coded, numberSql(coded, source.times ?? 1, decimal));
    case 'code': case 'text': return coded;
  }
}

const readable = (cell: string, coded: string, read: string): string => `CASE WHEN ${cell} IS NOT NULL AND ${coded} IS NOT NULL THEN coalesce(${read}, ${unreadable}) END`;

const branches = (codes: Readonly<Record<string, string | null>>): string =>
  Object.entries(codes).map(([value, code]) => `WHEN ${quoteText(value.trim())} THEN ${code === null ? 'NULL' : quoteText(code)}`).join(' ');

const codedSql = ({ codes = {} }: ColumnSource, cell: string): string =>
  (Object.keys(codes).length === 0 ? cell : `CASE ${cell} ${branches(codes)} ELSE ${cell} END`);

/** Several codes in a cell: each is looked up by itself; what is not named stays as it is. */
function codesSql({ codes = {}, separator = ';' }: ColumnSource, cell: string): string {
  const one = Object.keys(codes).length === 0 ? 'trim(code)' : `CASE trim(code) ${branches(codes)} ELSE trim(code) END`;
  const all = `list_transform(string_split(${cell}, ${quoteText(separator)}), lambda code: ${one})`;
  return `nullif(array_to_string(list_filter(${all}, lambda code: code IS NOT NULL AND code <> ''), ';'), '')`;
}

function numberSql(text: string, times: number, decimal: TextLayout['decimal']): string {
  const mark = decimal === ',' ? ',' : '\\.';
  const point = decimal === ',' ? `replace(${text}, ',', '.')` : text;
  const value = times === 1 ? point : `round(try_cast(${point} AS DOUBLE) * ${times}, 9)::VARCHAR`;
  return `CASE WHEN regexp_full_match(${text}, ${quoteText(`-?[0-9]+(${mark}[0-9]+)?([eE]-?[0-9]{1,2})?`)}) THEN ${value} END`;
}
