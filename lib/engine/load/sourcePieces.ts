import type { OpenedSource } from '../../intake/openSources';
import { refuse } from '../../intake/refusal';
import { cellSql } from '../../intake/sql/fieldSql';
import { passing, sql, type LoadingDatabase } from '../database';
import { numberColumn, textColumn } from '../newColumn';
import { cannotRead, csvBlocks, recordsOfBlock, type CsvBlock } from './csvBlocks';
import { countOf } from './loading';

/** Rows of a source that are in the database, for as long as the next are not asked for. */
export interface SourcePiece {
  readonly from: string; // SQL: `row` (its number among the accepted rows, from 0) and the cells of each column asked for
  readonly rows: number;
  readonly fraction: number; // 0–1 of the source that is read by their end
}

/** What is known of a source once it is read. */
export interface SourceEnd {
  readonly accepted: number;
  readonly malformed: readonly number[]; // lines
  readonly skipped: readonly number[];
}

const table = passing('rows_in');
/** The SQL column of a column of the file. */
export const pieceColumn = ({ names }: OpenedSource, name: string): string => `c${names.indexOf(name)}`;
const cellOf = (source: OpenedSource, name: string, padded: boolean): string => `${cellSql(pieceColumn(source, name), padded)} AS ${pieceColumn(source, name)}`;

/** Takes the columns of a source into the database piece by piece. Rows that are counted twice with different results refuse the file. */
export async function* sourcePieces(database: LoadingDatabase, source: OpenedSource, columns: readonly string[], signal: AbortSignal): AsyncGenerator<SourcePiece, SourceEnd> {
  return yield* source.rows === null ? textPieces(database, source, columns, signal) : rowPieces(database, source, columns, signal);
}

async function* textPieces(database: LoadingDatabase, source: OpenedSource, columns: readonly string[], signal: AbortSignal): AsyncGenerator<SourcePiece, SourceEnd> {
  const { text, names, shownAs, mapping: { layout } } = source;
  if (text === null || layout === null) throw new Error(`${shownAs} is no text`);
  const shape = { file: shownAs, cells: names.length, identifying: new Set(names.keys()), delimiter: layout.delimiter, firstLine: layout.headerLine };
  const blocks = csvBlocks(text.content, shape, signal);
  let taken = 0, next = blocks.next();
  for (;;) {
    const found = await next;
    if (found.done === true) {
      const { records, malformed, skipped } = found.value;
      if (taken + malformed.length !== records) {
        refuse('records_disagree', `two readings of the file disagree: ${records} records, ${malformed.length} of them malformed, against ${taken} taken in`, { file: shownAs });
      }
      return { accepted: taken, malformed: Array.from(malformed), skipped: Array.from(skipped) };
    }
    next = blocks.next(); // is looked through while the engine takes this one in
    next.catch(() => undefined); // awaited above, after the engine's turn
    taken += await takeIn(database, source, found.value, columns, layout.delimiter);
    yield { from: table, rows: found.value.records, fraction: found.value.fraction };
    await database.query(sql(`DROP TABLE ${table}`));
  }
}

async function takeIn(database: LoadingDatabase, source: OpenedSource, block: CsvBlock, columns: readonly string[], delimiter: string): Promise<number> {
  const { from, records } = block, path = await database.registerBytes('rows.csv', block.bytes);
  try {
    await database.query(sql(`CREATE TABLE ${table} AS SELECT ${[`(row_number() OVER () - 1 + ${from})::INTEGER AS row`, ...columns.map((name) => cellOf(source, name, block.padded))].join(', ')}
      FROM ${recordsOfBlock(path, block, source.names.length, delimiter)}`));
    const taken = await countOf(database, table);
    return taken === records ? taken : refuse('records_disagree', `two readings of the file disagree: ${records} records against ${taken} from record ${from + 1} on`, { file: source.shownAs });
  } catch (error) {
    if (!cannotRead(error)) throw error;
    return refuse('unreadable', `the engine can't read the records from ${(from + 1).toLocaleString('en')} on`, { file: source.shownAs });
  } finally {
    await database.dropFile(path);
  }
}

const rowsAtOnce = 100_000;

async function* rowPieces(database: LoadingDatabase, source: OpenedSource, columns: readonly string[], signal: AbortSignal): AsyncGenerator<SourcePiece, SourceEnd> {
  const { rows, shownAs } = source;
  if (rows === null) throw new Error(`${shownAs} has no rows of its own`);
  for (let start = 0; start < rows.rows; start += rowsAtOnce) {
    const end = Math.min(start + rowsAtOnce, rows.rows), cells: (string | null)[][] = columns.map(() => []);
    await rows.read(columns, start, end, (piece) => {
      for (const [i, column] of piece.entries()) for (const cell of column) cells[i]?.push(cell);
    }, signal);
    const unreadable = columns.find((name) => rows.unreadable.has(name));
    if (unreadable !== undefined) refuse('column_type', 'the column holds lists, groups or bytes; a table holds text, numbers and dates', { file: shownAs, field: unreadable });
    const numbers = Array.from({ length: end - start }, (_, i) => start + i);
    await database.createFrom('rows_in', [numberColumn('row', 'INTEGER', numbers), ...columns.map((name, i) => textColumn(pieceColumn(source, name), cells[i] ?? []))]);
    const taken = await countOf(database, table);
    if (taken !== end - start) refuse('records_disagree', `${end - start} rows were read, but ${taken} taken in`, { file: shownAs });
    yield { from: `(SELECT ${['row', ...columns.map((name) => cellOf(source, name, true))].join(', ')} FROM ${table})`, rows: end - start, fraction: end / rows.rows };
    await database.query(sql(`DROP TABLE ${table}`));
  }
  return { accepted: rows.rows, malformed: [], skipped: rows.skipped };
}
