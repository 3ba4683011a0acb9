import type { TableMapping } from '../../contract/mapping';
import type { OpenedSource } from '../../intake/openSources';
import { refuse } from '../../intake/refusal';
import { cellSql } from '../../intake/sql/fieldSql';
import { columnsOf, conditionColumns } from '../../intake/sql/recordsSql';
import { passing, sql, type LoadingDatabase } from '../database';
import { rowNumbers } from '../newColumn';
import { askingAhead } from './askingAhead';
import { CellReadings, type CellReading } from './cellReadings';
import { bytesOf, cannotRead, recordsOfBlock, type CsvBlock } from './csvBlocks';
import { countOf } from './loading';
import { mappedReadings } from './mappedReadings';
import { numberedBlocks } from './numberedCells';
import { numberedRows, type NumberedRows } from './numberedRows';
import { cellsOf, takeInCells } from './takeInCells';

/** Rows of a source that are in the database, for as long as the next are not asked for. */
export interface SourcePiece {
  readonly from: string; // SQL: `row` (its number among the accepted rows, from 0), values, and the cells of each column that is asked for and not read
  readonly typed: TypedFields;
  readonly rows: number;
  readonly fraction: number; // 0–1 of the source that is read by their end
}

/** SQL for the fields of a mapping whose values have their types, every one within its limits. */
export type TypedFields = ReadonlyMap<TableMapping, ReadonlyMap<string, string>>;

/** What is known of a source once it is read. */
export interface SourceEnd {
  readonly accepted: number;
  readonly malformed: readonly number[]; // lines
  readonly skipped: readonly number[];
}

const table = passing('rows_in');
/** The SQL column of a column of the file. */
export const pieceColumn = ({ names }: OpenedSource, name: string): string => cellsOf(names.indexOf(name));
const cellOf = (column: number, padded: boolean): string => `${cellSql(cellsOf(column), padded)} AS ${cellsOf(column)}`;

/** Takes what the mappings read of a source into the database piece by piece. Rows that are counted twice with different results refuse the file. */
export async function* sourcePieces(database: LoadingDatabase, source: OpenedSource, mappings: readonly TableMapping[], signal: AbortSignal): AsyncGenerator<SourcePiece, SourceEnd> {
  return yield* source.rows === null ? textPieces(database, source, mappings, signal) : rowPieces(database, source, mappings, signal);
}

async function* textPieces(database: LoadingDatabase, source: OpenedSource, mappings: readonly TableMapping[], signal: AbortSignal): AsyncGenerator<SourcePiece, SourceEnd> {
  const { text, names, shownAs, mapping: { layout } } = source;
  if (text === null || layout === null) throw new Error(`${shownAs} is no text`);
  const { delimiter, headerLine } = layout, wanted = columnsOf(mappings).map((name) => names.indexOf(name)), take = takingRows(database, source, mappings);
  const shape = { file: shownAs, cells: names.length, identifying: new Set(names.keys()), delimiter, firstLine: headerLine };
  const blocks = askingAhead(numberedBlocks(text.content, shape, wanted, signal));
  let taken = 0;
  for (;;) {
    const found = await blocks.next();
    if (found.done === true) {
      const { records, malformed, skipped } = found.value;
      if (taken + malformed.length !== records) {
        refuse('records_disagree', `two readings of the file disagree: ${records} records, ${malformed.length} of them malformed, against ${taken} taken in`, { file: shownAs });
      }
      return { accepted: taken, malformed: Array.from(malformed), skipped: Array.from(skipped) };
    }
    const { block, columns } = found.value, { from, records: rows, fraction, padded } = block;
    const held = columns === null ? await takeIn(database, source, block, wanted, delimiter) : await take({ from, rows, columns, padded });
    taken += rows;
    yield { ...held, rows, fraction };
    await database.query(sql(`DROP TABLE ${table}`));
  }
}

type Held = Pick<SourcePiece, 'from' | 'typed'>;

/** Takes rows in by their numbered cells. */
function takingRows(database: LoadingDatabase, source: OpenedSource, mappings: readonly TableMapping[]): (rows: NumberedRows) => Promise<Held> {
  const readings = mappedReadings(source, mappings), read = new CellReadings([...readings.values()].flat());
  const asText = mappings.flatMap((mapping) => conditionColumns(source.mapping, mapping)).map((name) => source.names.indexOf(name));
  return async ({ from, rows, columns, padded }) => {
    const { typed, text } = await takeInCells(database, rowNumbers('row', from, rows), columns, read, asText);
    const cells = padded && text.length > 0 ? `* REPLACE (${text.map((column) => cellOf(column, true)).join(', ')})` : '*';
    return { from: `(SELECT ${cells} FROM ${table})`, typed: byMapping(readings, typed) };
  };
}

const byMapping = (readings: ReadonlyMap<TableMapping, readonly CellReading[]>, typed: ReadonlyMap<CellReading, string>): TypedFields =>
  new Map([...readings].map(([mapping, own]) => [mapping, new Map(own.flatMap((reading) => {
    const value = typed.get(reading);
    return value === undefined ? [] : [[reading.field.name, value] as const];
  }))]));

async function takeIn(database: LoadingDatabase, source: OpenedSource, block: CsvBlock, columns: readonly number[], delimiter: string): Promise<Held> {
  const { from, records } = block, path = await database.registerBytes('rows.csv', bytesOf(block));
  try {
    await database.query(sql(`CREATE TABLE ${table} AS SELECT ${[`(row_number() OVER () - 1 + ${from})::INTEGER AS row`, ...columns.map((column) => cellOf(column, block.padded))].join(', ')}
      FROM ${recordsOfBlock(path, block, source.names.length, delimiter)}`));
    const taken = await countOf(database, table);
    if (taken !== records) refuse('records_disagree', `two readings of the file disagree: ${records} records against ${taken} from record ${from + 1} on`, { file: source.shownAs });
    return { from: table, typed: new Map() };
  } catch (error) {
    if (!cannotRead(error)) throw error;
    return refuse('unreadable', `the engine can't read the records from ${(from + 1).toLocaleString('en')} on`, { file: source.shownAs });
  } finally {
    await database.dropFile(path);
  }
}

async function* rowPieces(database: LoadingDatabase, source: OpenedSource, mappings: readonly TableMapping[], signal: AbortSignal): AsyncGenerator<SourcePiece, SourceEnd> {
  const { rows, shownAs } = source, columns = columnsOf(mappings), take = takingRows(database, source, mappings);
  if (rows === null) throw new Error(`${shownAs} has no rows of its own`);
  const refuseUnreadable = (): void => {
    const unreadable = columns.find((name) => rows.unreadable.has(name));
    if (unreadable !== undefined) refuse('column_type', 'the column holds lists, groups or bytes; a table holds text, numbers and dates', { file: shownAs, field: unreadable });
  };
  let taken = 0;
  for await (const piece of askingAhead(numberedRows(rows, columns, signal))) {
    refuseUnreadable();
    const held = await take(piece);
    taken += piece.rows;
    yield { ...held, rows: piece.rows, fraction: taken / rows.rows };
    await database.query(sql(`DROP TABLE ${table}`));
  }
  refuseUnreadable();
  if (taken !== rows.rows) refuse('records_disagree', `the file says that it has ${rows.rows} rows, but ${taken} were read`, { file: shownAs });
  return { accepted: rows.rows, malformed: [], skipped: rows.skipped };
}
