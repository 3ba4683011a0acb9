import type { ParquetRowRange } from 'hyparquet';
import { fieldsOf } from '../../contract/fields';
import type { TableName } from '../../contract/tables';
import { passing, quoteName, quoteText, sql, type LoadingDatabase } from '../database';
import type { ExtractFile } from '../../intake/extractFile';
import { integerColumn, numbersFrom, rowsTogether } from '../newColumn';
import { askingAhead } from './askingAhead';
import { codeAt } from './codeTypes';
import { headerProblems } from './csvHeader';
import { rememberPart } from './fileParts';
import type { Reading, StagedTable } from './loading';
import { openColumn, type ReadColumn } from '../../intake/binary/parquetColumn';
import { parquetValues, type ParquetValues } from './parquetValues';
import { shownColumn } from '../../intake/columns';
import { decoding, openParquetFile } from '../../intake/binary/parquetFile';
import { Refusal, someOf } from '../../intake/refusal';
import { createStaging, settleCells, stageTable } from './stageTable';
import { typedFields, type TypedField } from './typedColumns';


/** A Parquet file whose columns are known to fit the table, with what its path says of all its rows and no column of it does. */
export interface ParquetTable {
  readonly file: ExtractFile;
  readonly rows: number;
  readonly ranges: readonly ParquetRowRange[];
  readonly columns: ReadonlyMap<string, ReadColumn>; // of the table's fields
  readonly names: readonly string[]; // of all its columns
  readonly values: ReadonlyMap<string, string | null>;
}

/** Reads the footer of a Parquet file and checks its columns. */
export async function openParquet(table: TableName, file: ExtractFile, inPath: ReadonlyMap<string, string | null>): Promise<ParquetTable> {
  const { scan: { metadata, ranges }, options, columns: inFile, names } = await openParquetFile(file);
  const values = new Map([...inPath].filter(([name]) => !names.includes(name)));
  const problems = headerProblems(file.name, [...names, ...values.keys()], fieldsOf(table));
  if (problems.length > 0) throw new Refusal(problems);
  const columns = new Map<string, ReadColumn>();
  for (const { name } of fieldsOf(table)) {
    const column = inFile[names.indexOf(name)];
    if (column !== undefined) columns.set(name, await decoding(file.name, () => openColumn(options, column)));
  }
  return { file, rows: Number(metadata.num_rows), ranges: ranges.flatMap(split), columns, names, values };
}

/**
 * Decodes the Parquet files of a table one after the other, some groups of rows at a time, and stages their records: while the engine takes some in,
 * the next are decoded. A column that some part lacks is empty there.
 */
export async function readParquet(
  database: LoadingDatabase, table: TableName, parts: readonly ParquetTable[], { signal, onRead }: Reading,
): Promise<StagedTable> {
  const fields = fieldsOf(table).map(({ name }) => name), of = parts.reduce((sum, { rows }) => sum + rows, 0);
  const known = new Set(parts.flatMap(({ names, values }) => [...names, ...values.keys()]));
  await createStaging(database, table, known);
  let from = 0;
  for (const { file, rows } of parts) {
    if (rows > 0) await rememberPart(database, { table, file: file.name, source: table, fromRecord: from, rows, every: 1, line: 1 });
    from += rows;
  }
  for await (const piece of askingAhead(decodedPieces(table, parts, signal))) {
    await takeIn(database, table, piece);
    const done = piece.first + piece.rows;
    await onRead(done / of, { done, of });
  }
  await settleCells(database, table);
  const ignored = parts.flatMap(({ names, values }) => [...names, ...values.keys()].flatMap((name, i) => (fields.includes(name) ? [] : [shownColumn(name, i)])));
  return {
    table, fields: known, file: someOf(parts.map(({ file }) => file.name)), countedIn: 'rows', read: of,
    ignoredColumns: [...new Set(ignored)], missingColumns: fields.filter((name) => !known.has(name)),
  };
}

interface DecodedPiece {
  readonly columns: readonly ParquetValues[];
  readonly values: ParquetTable['values'];
  readonly first: number; // number of its first row among those of all parts
  readonly rows: number;
}

async function takeIn(database: LoadingDatabase, table: TableName, { columns, values, first, rows }: DecodedPiece): Promise<void> {
  const records = integerColumn('record', numbersFrom(first, rows)), names = columns.map(({ column }) => column.name);
  const typed = new Set(columns.flatMap(({ column, typed: isTyped }) => (isTyped ? [column.name] : [])));
  const inPath = [...values].flatMap(([name, value]) => (value === null || !fieldsOf(table).some((field) => field.name === name) ? [] : [[name, value] as const]));
  const cells = [
    ...typedFields(table).filter(({ name }) => names.includes(name)).map((field) => (typed.has(field.name) ? ofType(field) : quoteName(field.name))),
    ...inPath.map(([name, value]) => `${quoteText(value)} AS ${quoteName(name)}`),
  ];
  await database.createFrom('rows_in', [records, ...columns.map(({ column }) => column)]);
  const rowsIn = passing('rows_in'), fields = new Set([...names, ...inPath.map(([name]) => name)]);
  await stageTable(database, table, `(SELECT ${['record', ...cells].join(', ')} FROM ${rowsIn})`, { fields, typed }, columns.some(({ column }) => column.name === 'procedure_id' && column.type === 'VARCHAR') ? rowsIn : undefined);
  await database.query(sql(`DROP TABLE ${rowsIn}`));
}

/** A code comes as its place in the list. */
const ofType = ({ name, list }: TypedField): string => (list === null ? quoteName(name) : `${codeAt(list, quoteName(name))} AS ${quoteName(name)}`);

async function* decodedPieces(table: TableName, parts: readonly ParquetTable[], signal: AbortSignal): AsyncGenerator<DecodedPiece, void> {
  let from = 0;
  for (const { file, rows, ranges, columns: inFile, values } of parts) {
    for (const piece of pieces(ranges)) {
      const columns: ParquetValues[] = [];
      for (const field of typedFields(table)) {
        signal.throwIfAborted();
        const read = inFile.get(field.name), column = read === undefined ? null : parquetValues(file.name, field, await decoding(file.name, () => read(piece)));
        if (column !== null) columns.push(column);
      }
      const start = piece[0]?.rowStart ?? 0, end = piece.at(-1)?.rowEnd ?? 0;
      yield { columns, values, first: from + start, rows: end - start };
    }
    from += rows;
  }
}

function split({ rowStart, rowEnd }: ParquetRowRange): ParquetRowRange[] {
  const starts = Array.from({ length: Math.ceil((rowEnd - rowStart) / rowsTogether) }, (_, i) => rowStart + i * rowsTogether);
  return starts.map((from) => ({ rowStart: from, rowEnd: Math.min(from + rowsTogether, rowEnd) }));
}

/** Neighbouring ranges, as many as may be read at once. */
function pieces(ranges: readonly ParquetRowRange[]): ParquetRowRange[][] {
  const found: ParquetRowRange[][] = [];
  for (const range of ranges) {
    const last = found.at(-1), start = last?.[0]?.rowStart ?? 0;
    if (last !== undefined && range.rowEnd - start <= rowsTogether) last.push(range);
    else found.push([range]);
  }
  return found;
}
