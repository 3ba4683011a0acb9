import { parquetScan, parquetSchema, type AsyncBuffer, type ParquetRowRange, type ParquetScan } from 'hyparquet';
import { compressors } from 'hyparquet-compressors';
import { fieldsOf } from '../../contract/fields';
import type { TableName } from '../../contract/tables';
import { quoteName, sql, type LoadingDatabase, type NewColumn } from '../database';
import type { ExtractFile } from '../../intake/extractFile';
import { headerProblems } from './csvHeader';
import { rememberPart } from './fileParts';
import type { Reading, StagedTable } from './loading';
import { problem, Refusal } from '../../intake/refusal';
import { createStaging, settleCells, stageTable } from './stageTable';

const rowsAtOnce = 250_000; // bounds the memory of decoded values

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
 * Decodes a Parquet file a group of rows at a time and stages its records. Values go through the same text checks as those of a CSV file.
 */
export async function readParquet(
  database: LoadingDatabase, table: TableName, { file, scan, names }: ParquetTable, { signal, onRead }: Reading,
): Promise<StagedTable> {
  const fields = fieldsOf(table).map(({ name }) => name);
  const present = new Set(fields.filter((name) => names.includes(name)));
  await createStaging(database, table);
  for (const { rowStart, rowEnd } of scan.ranges.flatMap(pieces)) {
    signal.throwIfAborted();
    const columns: NewColumn[] = [];
    for (const column of present) {
      columns.push(newColumn(file.name, column, await decoding(file, () => scan.readColumn({ column, rowStart, rowEnd }))));
    }
    await database.createFrom('rows_in', columns);
    const record = `(row_number() OVER () - 1 + ${rowStart})::INTEGER AS record`;
    await stageTable(database, table, `(SELECT ${record}, ${[...present].map(quoteName).join(', ')} FROM rows_in)`, present);
    await database.query(sql('DROP TABLE rows_in'));
    const of = Number(scan.metadata.num_rows);
    onRead(rowEnd / of, { done: rowEnd, of });
  }
  await rememberPart(database, { table, file: file.name, source: table, fromRecord: 0, rows: Number(scan.metadata.num_rows), every: 1, line: 1 });
  await settleCells(database, table);
  return {
    table, file: file.name, countedIn: 'rows', read: Number(scan.metadata.num_rows),
    ignoredColumns: names.filter((name) => !fields.includes(name)), missingColumns: fields.filter((name) => !present.has(name)),
  };
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
  const present = Array.from(values).filter((value) => value !== null && value !== undefined);
  if (present.every((value) => typeof value === 'number')) {
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
