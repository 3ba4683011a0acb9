import type { TableMapping } from '../../contract/mapping';
import type { OpenedSource } from '../../intake/openSources';
import { refuse } from '../../intake/refusal';
import { cellSql } from '../../intake/sql/fieldSql';
import { columnsOf } from '../../intake/sql/recordsSql';
import { passing, sql, type LoadingDatabase } from '../database';
import { askingAhead } from './askingAhead';
import { bytesOf, cannotRead, recordsOfBlock, type CsvBlock } from './csvBlocks';
import { countOf } from './loading';
import { numberedBlocks } from './numberedCells';
import { numberedRows, type NumberedRows } from './numberedRows';
import { cellsOf, takingRows, type FoundRows, type PieceRows } from './takeInRows';

/** Rows of a source. Until the next are asked for what is sound must be staged, or at least begun to be; until the second after them, the rest. */
export interface SourcePiece {
  readonly found: FoundRows;
  readonly rows: number;
  readonly fraction: number; // 0–1 of the source that is read by their end
}

/** What is known of a source once it is read. */
export interface SourceEnd {
  readonly accepted: number;
  readonly malformed: readonly number[]; // lines
  readonly skipped: readonly number[];
}

/** The SQL column of a column of the file. */
export const pieceColumn = ({ names }: OpenedSource, name: string): string => cellsOf(names.indexOf(name));

/** Takes what the mappings read of a source into the database piece by piece. Rows that are counted twice with different results refuse the file. */
export async function* sourcePieces(database: LoadingDatabase, source: OpenedSource, mappings: readonly TableMapping[], signal: AbortSignal): AsyncGenerator<SourcePiece, SourceEnd> {
  return yield* source.rows === null ? textPieces(database, source, mappings, signal) : rowPieces(database, source, mappings, signal);
}

async function* textPieces(database: LoadingDatabase, source: OpenedSource, mappings: readonly TableMapping[], signal: AbortSignal): AsyncGenerator<SourcePiece, SourceEnd> {
  const { text, names, shownAs, mapping: { layout } } = source;
  if (text === null || layout === null) throw new Error(`${shownAs} is no text`);
  const { delimiter, headerLine } = layout, wanted = columnsOf(mappings).map((name) => names.indexOf(name)), { learn, take } = takingRows(database, source, mappings);
  const shape = { file: shownAs, cells: names.length, identifying: new Set(names.keys()), delimiter, firstLine: headerLine };
  const blocks = askingAhead(learnt(askingAhead(numberedBlocks(text.content, shape, wanted, signal)), learn));
  let taken = 0, pieces = 0;
  for (;;) {
    const made = await blocks.next();
    if (made.done === true) {
      const { records, malformed, skipped } = made.value;
      if (taken + malformed.length !== records) {
        refuse('records_disagree', `two readings of the file disagree: ${records} records, ${malformed.length} of them malformed, against ${taken} taken in`, { file: shownAs });
      }
      return { accepted: taken, malformed: Array.from(malformed), skipped: Array.from(skipped) };
    }
    const { block, columns } = made.value, { from, records: rows, fraction, padded } = block;
    const found = columns !== null ? await take({ from, rows, columns, padded }) : new Map(await readByEngine(database, source, block, wanted, delimiter, passing(`rows_read_${pieces++ % 2}`)).then((all) => mappings.map((mapping) => [mapping, all])));
    taken += rows;
    yield { found, rows, fraction };
  }
}

/** Has the cells of what is made learnt, while what comes before is taken in. */
async function* learnt<Made extends { readonly columns: NumberedRows['columns'] | null }, End>(made: AsyncGenerator<Made, End>, learn: (columns: NumberedRows['columns']) => Promise<void>): AsyncGenerator<Made, End> {
  for (;;) {
    const next = await made.next();
    if (next.done === true) return next.value;
    if (next.value.columns !== null) await learn(next.value.columns);
    yield next.value;
  }
}

/** Takes in a block that is left to the engine's reader. */
async function readByEngine(database: LoadingDatabase, source: OpenedSource, block: CsvBlock, columns: readonly number[], delimiter: string, table: string): Promise<PieceRows> {
  const { from, records, padded } = block, path = await database.registerBytes('rows.csv', bytesOf(block));
  const cells = columns.map((column) => `${cellSql(cellsOf(column), padded)} AS ${cellsOf(column)}`);
  try {
    await database.query(sql(`CREATE TABLE ${table} AS SELECT ${[`(row_number() OVER () - 1 + ${from})::INTEGER AS row`, ...cells].join(', ')}
      FROM ${recordsOfBlock(path, block, source.names.length, delimiter)}`));
    const taken = await countOf(database, table);
    if (taken !== records) refuse('records_disagree', `two readings of the file disagree: ${records} records against ${taken} from record ${from + 1} on`, { file: source.shownAs });
    return { table, from: table, rows: taken, typed: new Map() };
  } catch (error) {
    if (!cannotRead(error)) throw error;
    return refuse('unreadable', `the engine can't read the records from ${(from + 1).toLocaleString('en')} on`, { file: source.shownAs });
  } finally {
    await database.dropFile(path);
  }
}

async function* rowPieces(database: LoadingDatabase, source: OpenedSource, mappings: readonly TableMapping[], signal: AbortSignal): AsyncGenerator<SourcePiece, SourceEnd> {
  const { rows, shownAs } = source, columns = columnsOf(mappings), { learn, take } = takingRows(database, source, mappings);
  if (rows === null) throw new Error(`${shownAs} has no rows of its own`);
  const refuseUnreadable = (): void => {
    const unreadable = columns.find((name) => rows.unreadable.has(name));
    if (unreadable !== undefined) refuse('column_type', 'the column holds lists, groups or bytes; a table holds text, numbers and dates', { file: shownAs, field: unreadable });
  };
  let taken = 0;
  for await (const piece of askingAhead(learnt(askingAhead(numberedRows(rows, columns, signal)), learn))) {
    refuseUnreadable();
    const found = await take(piece);
    taken += piece.rows;
    yield { found, rows: piece.rows, fraction: taken / rows.rows };
  }
  refuseUnreadable();
  if (taken !== rows.rows) refuse('records_disagree', `the file says that it has ${rows.rows} rows, but ${taken} were read`, { file: shownAs });
  return { accepted: rows.rows, malformed: [], skipped: rows.skipped };
}
