import { parquetScan, parquetSchema, type AsyncBuffer, type ParquetRowRange, type ParquetScan } from 'hyparquet';
import { compressors } from 'hyparquet-compressors';
import { fieldsOf } from '../../contract/fields';
import type { TableName } from '../../contract/tables';
import { quoteName, sql, type LoadingDatabase, type NewColumn } from '../database';
import type { ExtractFile } from '../../intake/extractFile';
import { headerProblems } from './csvHeader';
import { rememberPart } from './fileParts';
import type { Reading, StagedTable } from './loading';
import { shownColumn } from '../../intake/columns';
import { problem, Refusal } from '../../intake/refusal';
import { createStaging, settleCells, stageTable } from './stageTable';

const rowsAtOnce = 122_880; // bounds the memory of decoded values; as many as the engine keeps together

/** A Parquet file whose columns are known to fit the table. */
export interface ParquetTable {
  readonly file: ExtractFile;
  readonly scan: ParquetScan;
  readonly names: readonly string[];
}

/** Reads the footer of a Parquet file and checks its columns. */
export async function openParquet(table: TableName, file: ExtractFile): Promise<ParquetTable> {
  const buffer: AsyncBuffer = { byteLength: file.content.size, slice: (start, end) => file.content.slice(start, end).arrayBuffer() };
  const scan = await decoding(file, () => parquetScan({ file: buffer, compressors }));
  const names = parquetSchema(scan.metadata).children.map(({ element }) => element.name);
  const problems = headerProblems(file.name, names, fieldsOf(table));
  if (problems.length > 0) throw new Refusal(problems);
  return { file, scan, names };
}

/**
 * Decodes a Parquet file a group of rows at a time and stages its records: while the engine takes one in, the next is decoded. Values go through the same text checks as those of a CSV file.
 */
export async function readParquet(
  database: LoadingDatabase, table: TableName, { file, scan, names }: ParquetTable, { signal, onRead }: Reading,
): Promise<StagedTable> {
  const fields = fieldsOf(table).map(({ name }) => name);
  const present = new Set(fields.filter((name) => names.includes(name)));
  await createStaging(database, table);
  const decoded = decodedPieces(file, scan, [...present], signal), of = Number(scan.metadata.num_rows);
  let next = decoded.next();
  for (;;) {
    const found = await next;
    if (found.done === true) break;
    next = decoded.next();
    next.catch(() => undefined); // awaited above, after the engine's turn
    const { columns, rowStart, rowEnd } = found.value;
    await database.createFrom('rows_in', columns);
    const record = `(row_number() OVER () - 1 + ${rowStart})::INTEGER AS record`;
    await stageTable(database, table, `(SELECT ${record}, ${[...present].map(quoteName).join(', ')} FROM rows_in)`, present);
    await database.query(sql('DROP TABLE rows_in'));
    onRead(rowEnd / of, { done: rowEnd, of });
  }
  await rememberPart(database, { table, file: file.name, source: table, fromRecord: 0, rows: of, every: 1, line: 1 });
  await settleCells(database, table);
  return {
    table, file: file.name, countedIn: 'rows', read: of,
    ignoredColumns: names.flatMap((name, i) => (fields.includes(name) ? [] : [shownColumn(name, i)])), missingColumns: fields.filter((name) => !present.has(name)),
  };
}

async function* decodedPieces(
  file: ExtractFile, scan: ParquetScan, names: readonly string[], signal: AbortSignal,
): AsyncGenerator<ParquetRowRange & { readonly columns: readonly NewColumn[] }, void> {
  for (const range of scan.ranges.flatMap(pieces)) {
    const columns: NewColumn[] = [];
    for (const column of names) {
      signal.throwIfAborted();
      columns.push(newColumn(file.name, column, await decoding(file, () => scan.readColumn({ column, ...range }))));
    }
    yield { ...range, columns };
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
