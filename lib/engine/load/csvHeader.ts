import { fieldsOf, type Field } from '../../contract/fields';
import type { Problem } from '../../contract/loadReport';
import type { TableName } from '../../contract/tables';
import type { ExtractFile } from '../../intake/extractFile';
import { mayBeKey, shownColumn } from '../../intake/columns';
import { problem, someOf } from '../../intake/refusal';

const peekedBytes = 64 * 1024;

export interface Header {
  readonly cells: readonly string[];
  readonly problems: readonly Problem[];
}

/** Looks at the first 64 KiB of a file that should be CSV: is it text at all, and does its header fit the table? */
export async function readHeader(table: TableName, file: ExtractFile): Promise<Header> {
  const bytes = new Uint8Array(await file.content.slice(0, peekedBytes).arrayBuffer());
  const no = (rule: string, text: string, value: string | null = null): Header =>
    ({ cells: [], problems: [problem(rule, text, { file: file.name, line: 1, value })] });
  const disguise = disguiseOf(bytes);
  if (disguise !== null) return no('not_csv', disguise);
  const text = new TextDecoder('utf-8').decode(bytes); // takes the byte order mark off
  const lineEnd = text.search(/[\r\n]/);
  if (lineEnd < 0 && file.content.size > peekedBytes) return no('not_csv', 'the first line is longer than 64 KiB: this is no table with a header');
  const line = lineEnd < 0 ? text : text.slice(0, lineEnd);
  if (line.includes('\uFFFD')) return no('not_utf8', 'the header is not UTF-8 text. Save the file as UTF-8');
  if (line.trim() === '') return no('no_header', 'the first line is empty; it must hold the names of the columns');
  const cells = cellsOf(line);
  if (cells === null) return no('misplaced_quote', 'a quote in the header is not closed');
  const other = [[';', 'semicolons'], ['\t', 'tabs'], ['|', 'vertical bars']].find(([mark]) => cells.length === 1 && line.includes(mark ?? ''));
  if (other !== undefined) return no('delimiter', `cells are separated by ${other[1] ?? ''}; they must be separated by commas`, mayBeKey(line) ? null : line.slice(0, 60));
  return { cells, problems: headerProblems(file.name, cells, fieldsOf(table)) };
}

/** What is wrong with column names: required ones that are missing, contract names that stand twice. Names beyond the contract are no fault. */
export function headerProblems(file: string, names: readonly string[], fields: readonly Field[]): Problem[] {
  const nearly = (field: string): string | undefined => names.find((name) => name.trim().toLowerCase() === field);
  // Of the columns that may be left out, one that is there under nearly its name was not meant to be left out.
  const missing = fields.filter(({ name, required }) => !names.includes(name) && (required || nearly(name) !== undefined));
  const twice = fields.filter(({ name }) => names.indexOf(name) !== names.lastIndexOf(name)).map(({ name }) => name);
  return [
    ...missing.map(({ name: field, required }) => {
      const near = nearly(field);
      const hint = near === undefined ? columnsThere(names, fields) : `there is ‘${near.slice(0, 60)}’, but names must match exactly`;
      return problem('missing_column', `the ${required ? 'required ' : ''}column is missing; ${hint}`, { file, line: 1, field, value: near ?? null });
    }),
    ...twice.map((field) => problem('duplicate_column', 'the column stands twice in the header', { file, line: 1, field })),
  ];
}

/** The names as they stand, unless the line is more likely to be a record. */
function columnsThere(names: readonly string[], fields: readonly Field[]): string {
  const isRecord = names.some(mayBeKey) && !fields.some(({ name }) => names.includes(name));
  return isRecord ? `none of the ${names.length} cells is a name of the data dictionary: is the line of names missing?`
    : `the ${names.length} columns are ${someOf(names.map((name, i) => `‘${shownColumn(name, i)}’`))}`;
}

/** The cells of the first line of a CSV text, quotes taken off. Null where a quote is left open. */
function cellsOf(line: string): string[] | null {
  const cells: string[] = [];
  const cell = /(?:"((?:[^"]|"")*)"|([^,"]*))(,|$)/y;
  for (;;) {
    const match = cell.exec(line);
    if (match === null) return null;
    cells.push(match[1]?.replaceAll('""', '"') ?? match[2] ?? '');
    if (match[3] === '') return cells;
  }
}

/** What a file with the name of a CSV really is, in words; null where it may be text. */
function disguiseOf(bytes: Uint8Array): string | null {
  const starts = (...first: number[]): boolean => first.every((byte, i) => bytes[i] === byte);
  if (bytes.length === 0) return 'the file is empty';
  if (starts(0x50, 0x4b)) return 'this is a zip or a spreadsheet, not CSV text. Export the sheet as CSV (UTF-8)';
  if (starts(0x50, 0x41, 0x52, 0x31)) return 'this is a Parquet file; give it a name that ends in .parquet';
  if (starts(0x25, 0x50, 0x44, 0x46)) return 'this is a PDF, not CSV text';
  if (starts(0xff, 0xfe) || starts(0xfe, 0xff)) return 'the text is UTF-16. Save the file as UTF-8';
  if (bytes.includes(0)) return 'the file holds zero bytes: it is UTF-16 text or no text at all. Save the file as UTF-8';
  const start = new TextDecoder('utf-8').decode(bytes.subarray(0, 200)).trimStart().toLowerCase();
  if (/^<(!doctype|html|\?xml|!--|head|body|table)/.test(start)) return 'this is a web page or XML, not CSV text';
  if (start.startsWith('{') || start.startsWith('[')) return 'this is JSON, not CSV text';
  return null;
}
