import type { TableMapping } from '../../contract/mapping';
import type { OpenedSource } from '../../intake/openSources';
import { cellSql } from '../../intake/sql/fieldSql';
import { conditionColumns } from '../../intake/sql/recordsSql';
import { passing, sql, type LoadingDatabase } from '../database';
import { wordsOf, type Words } from '../../intake/binary/words';
import { hasValue, integerColumn, numbersFrom, type NewColumn, type TextColumn } from '../newColumn';
import type { NumberedColumn } from './cellColumn';
import { CellReadings, typedSql, type CellReading } from './cellReadings';
import { belongsToProcedure } from './loading';
import { fieldsIn, mappedReadings } from './mappedReadings';
import type { NumberedRows } from './numberedRows';

/** Rows of a source with a record in each that goes in as it is staged: nothing is wrong with any cell. */
export interface SoundRows {
  readonly rows: Int32Array<ArrayBuffer>; // their numbers among the accepted rows, from 0
  readonly columns: readonly NewColumn[]; // by the names of their fields
}

/** Rows of a source that are in the database. */
export interface PieceRows {
  readonly table: string;
  readonly from: string; // SQL: `row` (its number among the accepted rows, from 0), values, and the cells of each column that is asked for and not read
  readonly rows: number;
  /** SQL for the fields whose values have their types, every one within its limits. */
  readonly typed: ReadonlyMap<string, string>;
}

/** Rows in which each mapping may find records; of one that can find none, nothing. */
export type FoundRows = ReadonlyMap<TableMapping, PieceRows | SoundRows>;

/** The SQL column with the text of a column of a file, by its place. */
export const cellsOf = (column: number): string => `c${column}`;

/** How rows are taken in by their numbered cells, all of which are learnt before. */
interface TakingRows {
  readonly learn: (columns: NumberedRows['columns']) => Promise<void>;
  /** All rows once for the mappings that may find a record in most of them, and for each of the others its few. Sound ones are there until the next rows are taken. */
  readonly take: (rows: NumberedRows) => Promise<FoundRows>;
}

export function takingRows(database: LoadingDatabase, source: OpenedSource, mappings: readonly TableMapping[]): TakingRows {
  const readings = mappedReadings(source, mappings), read = new CellReadings([...readings.values()].flat());
  const conditions = new Map(mappings.map((mapping) => [mapping, conditionColumns(source.mapping, mapping).map((name) => source.names.indexOf(name))]));
  const takeIn = async (table: string, own: readonly TableMapping[], rows: Int32Array<ArrayBuffer>, columns: NumberedRows['columns'], padded: boolean): Promise<ReadonlyMap<TableMapping, PieceRows>> => {
    const asked = own.flatMap((mapping) => readings.get(mapping) ?? []), typed = read.typed(columns, asked);
    const text = new Set([...own.flatMap((mapping) => conditions.get(mapping) ?? []), ...asked.filter((reading) => !typed.has(reading)).map(({ column }) => column)]);
    await database.createFrom(table, [integerColumn('row', rows), ...typed.values(), ...textsOf(columns, text)]);
    const cells = padded && text.size > 0 ? `* REPLACE (${Array.from(text, (column) => `${cellSql(cellsOf(column), true)} AS ${cellsOf(column)}`).join(', ')})` : '*';
    const from = `(SELECT ${cells} FROM ${passing(table)})`;
    return new Map(own.map((mapping) => [mapping, { table: passing(table), from, rows: rows.length, typed: typedFields(readings.get(mapping) ?? [], typed) }]));
  };
  const soundIn = (mapping: TableMapping, rows: Int32Array<ArrayBuffer>, columns: NumberedRows['columns'], padded: boolean): SoundRows | null => {
    const asked = readings.get(mapping) ?? [], told = conditions.get(mapping) ?? [];
    if (belongsToProcedure(mapping.table) || mapping.unless.length > 0 || asked.length < fieldsIn(source, mapping).length) return null;
    const staged = read.staged(columns, asked, padded), telling = staged?.filter((_, i) => told.includes(asked[i]!.column)) ?? [];
    return staged === null || (mapping.when !== null && !eachHasSome(rows.length, telling)) ? null : { rows, columns: staged };
  };
  let pieces = 0;
  const take = async ({ from, rows, columns, padded }: NumberedRows): Promise<FoundRows> => {
    const piece = pieces++ % 2; // rows of the one before may still be in the database
    const found = new Map<TableMapping, PieceRows | SoundRows>(), inMost: TableMapping[] = [], all = numbersFrom(from, rows);
    for (const [i, mapping] of mappings.entries()) {
      const told = conditions.get(mapping) ?? [], few = fewFilled(told.flatMap((column) => columns.get(column) ?? []), rows);
      if (few?.length === 0) continue;
      const numbers = few === null ? all : few.map((row) => from + row), cells = few === null ? columns : cellsOfRows(columns, [...told, ...(readings.get(mapping) ?? []).map(({ column }) => column)], few), sound = soundIn(mapping, numbers, cells, padded);
      if (sound !== null) found.set(mapping, sound);
      else if (few === null) inMost.push(mapping);
      else for (const [of, taken] of await takeIn(`rows_in_${piece}_${i}`, [mapping], numbers, cells, padded)) found.set(of, taken);
    }
    if (inMost.length > 0) for (const [of, taken] of await takeIn(`rows_in_${piece}`, inMost, all, columns, padded)) found.set(of, taken);
    return found;
  };
  return { learn: (columns) => read.learn(database, columns), take };
}

/** Lets go of the tables that rows were taken into. */
export async function dropRows(database: LoadingDatabase, found: FoundRows): Promise<void> {
  for (const table of new Set(Array.from(found.values()).flatMap((rows) => ('table' in rows ? [rows.table] : [])))) await database.query(sql(`DROP TABLE ${table}`));
}

const textsOf = (columns: NumberedRows['columns'], wanted: ReadonlySet<number>): readonly TextColumn[] => Array.from(wanted).flatMap((column) => {
  const cells = columns.get(column);
  return cells === undefined ? [] : [{ name: cellsOf(column), type: 'VARCHAR' as const, words: cells.words, places: cells.places }];
});

const typedFields = (own: readonly CellReading[], typed: ReadonlyMap<CellReading, NewColumn>): PieceRows['typed'] =>
  new Map(own.flatMap((reading) => (typed.has(reading) ? [[reading.field.name, typedSql(reading)] as const] : [])));

/** Whether in every row some column has a value. */
function eachHasSome(rows: number, columns: readonly NewColumn[]): boolean {
  for (let row = 0; row < rows; row++) if (!columns.some((column) => hasValue(column, row))) return false;
  return true;
}

/** The rows in which some of the columns hold anything, where these are at most half of all; null: more, or there are no such columns. */
function fewFilled(columns: readonly NumberedColumn[], rows: number): Int32Array<ArrayBuffer> | null {
  const filled = new Uint8Array(rows);
  let count = 0;
  for (const { words, places } of columns) count += places === null ? markFilled(words, filled) : markPlaced(places, filled);
  if (columns.length === 0 || 2 * count > rows) return null;
  const few = new Int32Array(count);
  for (let row = 0, at = 0; at < count; row++) if (filled[row] === 1) few[at++] = row;
  return few;
}

/** How many rows were not marked before. */
function markPlaced(places: Int32Array, filled: Uint8Array): number {
  let count = 0;
  for (let row = 0; row < places.length; row++) {
    if (places[row]! < 0) continue;
    count += 1 - filled[row]!;
    filled[row] = 1;
  }
  return count;
}

function markFilled({ starts, ends }: Words, filled: Uint8Array): number {
  let count = 0;
  for (let row = 0; row < filled.length; row++) {
    if (starts[row] === ends[row]) continue;
    count += 1 - filled[row]!;
    filled[row] = 1;
  }
  return count;
}

/** The cells of rows in the columns that are wanted. */
const cellsOfRows = (columns: NumberedRows['columns'], wanted: readonly number[], rows: Int32Array): NumberedRows['columns'] =>
  new Map(Array.from(columns).filter(([column]) => wanted.includes(column)).map(([column, { words, places }]) => [column, places === null
    ? { words: wordsOf(Array.from(rows, (row) => words.bytes.subarray(words.starts[row], words.ends[row]))), places }
    : { words, places: rows.map((row) => places[row]!) }]));
