import { type LoadingDatabase } from '../database';
import type { NumberColumn } from '../newColumn';
import { typedSql, type CellReading, type CellReadings } from './cellReadings';
import type { NumberedColumn } from './cellColumn';

/** The SQL column with the text of a column of a file, by its place. */
export const cellsOf = (column: number): string => `c${column}`;

/**
 * Makes the passing table `rows_in` of the cells of a block. Gives SQL for the values of the fields that are read; of the other fields, and of
 * the columns that are wanted as text, it holds the text.
 */
export async function takeInCells(
  database: LoadingDatabase, numbers: NumberColumn, columns: ReadonlyMap<number, NumberedColumn>, readings: CellReadings, asText: readonly number[],
): Promise<{ readonly typed: ReadonlyMap<CellReading, string>; readonly text: readonly number[] }> {
  await readings.learn(database, columns);
  const typed = readings.typed(columns), text = [...new Set([...asText, ...readings.all.filter((reading) => !typed.has(reading)).map(({ column }) => column)])];
  const texts = text.flatMap((column) => {
    const cells = columns.get(column);
    return cells === undefined ? [] : [{ name: cellsOf(column), type: 'VARCHAR' as const, words: cells.words, places: cells.places }];
  });
  await database.createFrom('rows_in', [numbers, ...typed.values(), ...texts]);
  return { typed: new Map([...typed.keys()].map((reading) => [reading, typedSql(reading)])), text };
}
