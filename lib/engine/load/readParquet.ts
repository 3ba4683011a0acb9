import { parquetScan, parquetSchema, type AsyncBuffer, type ParquetRowRange, type ParquetScan } from 'hyparquet';
import { compressors } from 'hyparquet-compressors';
import { fieldsOf } from '../../contract/fields';
import type { TableName } from '../../contract/tables';
import { quoteName, quoteText, sql, type LoadingDatabase, type NewColumn } from '../database';
import type { ExtractFile } from '../../intake/extractFile';
import { headerProblems } from './csvHeader';
import { rememberPart } from './fileParts';
import type { Reading, StagedTable } from './loading';
import { shownColumn } from '../../intake/columns';
import { problem, Refusal, someOf } from '../../intake/refusal';
import { createStaging, settleCells, stageTable } from './stageTable';

const rowsAtOnce = 122_880; // bounds the memory of decoded values; as many as the engine keeps together

/** A Parquet file whose columns are known to fit the table, with what its path says of all its rows and no column of it does. */
export interface ParquetTable {
  readonly file: ExtractFile;
  readonly scan: ParquetScan;
  readonly names: readonly string[];
  readonly values: ReadonlyMap<string, string | null>;
}

/** Reads the footer of a Parquet file and checks its columns. */
export async function openParquet(table: TableName, file: ExtractFile, inPath: ReadonlyMap<string, string | null>): Promise<ParquetTable> {
  const buffer: AsyncBuffer = { byteLength: file.content.size, slice: (start, end) => file.content.slice(start, end).arrayBuffer() };
  const scan = await decoding(file, () => parquetScan({ file: buffer, compressors }));
  const names = parquetSchema(scan.metadata).children.map(({ element }) => element.name), values = new Map([...inPath].filter(([name]) => !names.includes(name)));
  const problems = headerProblems(file.name, [...names, ...values.keys()], fieldsOf(table));
  if (problems.length > 0) throw new Refusal(problems);
  return { file, scan, names, values };
}

/**
 * Decodes the Parquet files of a table one after the other, a group of rows at a time, and stages their records: while the engine takes one in, the
 * next is decoded. Values go through the same text checks as those of a CSV file. A column that some part lacks is empty there.
 */
export async function readParquet(
  database: LoadingDatabase, table: TableName, parts: readonly ParquetTable[], { signal, onRead }: Reading,
): Promise<StagedTable> {
  const fields = fieldsOf(table).map(({ name }) => name), of = parts.reduce((sum, { scan }) => sum + rowsIn(scan), 0);
  await createStaging(database, table);
  let from = 0;
  for (const { file, scan } of parts) {
    if (rowsIn(scan) > 0) await rememberPart(database, { table, file: file.name, source: table, fromRecord: from, rows: rowsIn(scan), every: 1, line: 1 });
    from += rowsIn(scan);
  }
  const decoded = decodedPieces(parts, fields, signal);
  let next = decoded.next();
  for (;;) {
    const found = await next;
    if (found.done === true) break;
    next = decoded.next();
    next.catch(() => undefined); // awaited above, after the engine's turn
    const { columns, values, first, rows } = found.value, constants = fields.filter((name) => values.has(name)), read = columns.map(({ name }) => name);
    await database.createFrom('rows_in', columns);
    const record = `(row_number() OVER () - 1 + ${first})::INTEGER AS record`;
    const constant = (name: string): string => { const value = values.get(name) ?? null; return `${value === null ? 'NULL' : quoteText(value)}::VARCHAR AS ${quoteName(name)}`; };
    await stageTable(database, table, `(SELECT ${[record, ...read.map(quoteName), ...constants.map(constant)].join(', ')} FROM rows_in)`, new Set([...read, ...constants]));
    await database.query(sql('DROP TABLE rows_in'));
    onRead((first + rows) / of, { done: first + rows, of });
  }
  await settleCells(database, table);
  const known = new Set(parts.flatMap(({ names, values }) => [...names, ...values.keys()]));
  const ignored = parts.flatMap(({ names, values }) => [...names, ...values.keys()].flatMap((name, i) => (fields.includes(name) ? [] : [shownColumn(name, i)])));
  return {
    table, file: someOf(parts.map(({ file }) => file.name)), countedIn: 'rows', read: of,
    ignoredColumns: [...new Set(ignored)], missingColumns: fields.filter((name) => !known.has(name)),
  };
}

const rowsIn = (scan: ParquetScan): number => Number(scan.metadata.num_rows);

interface DecodedPiece {
  readonly columns: readonly NewColumn[];
  readonly values: ParquetTable['values'];
  readonly first: number; // number of its first row among those of all parts
  readonly rows: number;
}

async function* decodedPieces(parts: readonly ParquetTable[], fields: readonly string[], signal: AbortSignal): AsyncGenerator<DecodedPiece, void> {
  let from = 0;
  for (const { file, scan, names, values } of parts) {
    for (const range of scan.ranges.flatMap(pieces)) {
      const columns: NewColumn[] = [];
      for (const column of fields.filter((name) => names.includes(name))) {
        signal.throwIfAborted();
        columns.push(newColumn(file.name, column, await decoding(file, () => scan.readColumn({ column, ...range }))));
      }
      yield { columns, values, first: from + range.rowStart, rows: range.rowEnd - range.rowStart };
    }
    from += rowsIn(scan);
  }
}

function pieces({ rowStart, rowEnd }: ParquetRowRange): ParquetRowRange[] {
  const starts = Array.from({ length: Math.ceil((rowEnd - rowStart) / rowsAtOnce) }, (_, i) => rowStart + i * rowsAtOnce);
  return starts.map((from) => ({ rowStart: from, rowEnd: Math.min(from + rowsAtOnce, rowEnd) }));
}

async function decoding<T>(file: ExtractFile, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new Refusal([problem('damaged_parquet', `this is no Parquet file, or it is damaged or cut short (${reason})`, { file: file.name })]);
  }
}

/** Numbers stay numbers, anything else becomes the text that a CSV file would hold. */
function newColumn(file: string, name: string, values: ArrayLike<unknown>): NewColumn {
  if (values instanceof Int32Array || values instanceof Int16Array || values instanceof Int8Array || values instanceof Uint8Array || values instanceof Uint16Array) {
    return { name, type: 'INTEGER', values: Array.from(values) };
  }
  let numbers = true;
  for (let i = 0; numbers && i < values.length; i++) numbers = values[i] === null || values[i] === undefined || typeof values[i] === 'number';
  if (numbers) {
    return { name, type: 'DOUBLE', values: Array.from(values, (value) => (typeof value === 'number' ? value : null)) };
  }
  return { name, type: 'VARCHAR', values: Array.from(values, (value) => asText(file, name, value)) };
}

function asText(file: string, field: string, value: unknown): string | null {
  if (value === null || value === undefined || value === '') return null;
  if (typeof value === 'string') return value;
  if (typeof value === 'bigint' || typeof value === 'number' || typeof value === 'boolean') return String(value);
  if (value instanceof Date) return isoText(value);
  throw new Refusal([problem('parquet_type', 'the column holds lists, groups or bytes; a table holds text, numbers and dates', { file, field })]);
}

const isoText = (date: Date): string => {
  const text = date.toISOString();
  return text.endsWith('T00:00:00.000Z') ? text.slice(0, 10) : text; // a time of day is not a calendar day, and will say so
};
