import { distinctTexts } from '../../intake/binary/distinctCells';
import type { DistinctCells, RowTable } from '../../intake/binary/rowTable';
import { rowsTogether } from '../newColumn';
import { nextTask } from '../nextTask';
import { CellColumn, type NumberedColumn } from './cellColumn';
import { packed } from './packedTexts';
import { blankBytes } from './plainRecords';

const rowsInTurn = 8192; // a few milliseconds: the engine stands still while it is not heard

/** Rows with the cells of the wanted columns, by their places in the file, until the piece after the next is asked for. */
export interface NumberedRows {
  readonly from: number;
  readonly rows: number;
  readonly columns: ReadonlyMap<number, NumberedColumn>;
  readonly padded: boolean; // some cell may begin or end with white space; if not, none does
}

const blank = new Set(blankBytes);
const isPadded = ({ texts }: DistinctCells): boolean => texts.some((text) => blank.has(text[0]!) || blank.has(text.at(-1)!));

/** Numbers the distinct cells of columns of a file that keeps rows of its own, as many rows at a time as the engine keeps together. */
export async function* numberedRows(table: RowTable, names: readonly string[], signal: AbortSignal): AsyncGenerator<NumberedRows, void> {
  const columns = names.map(() => new CellColumn());
  let from = 0, filled = 0, padded = false;
  const made = (): NumberedRows => ({ from, rows: filled, columns: new Map(names.map((name, i) => [table.names.indexOf(name), columns[i]!.numbered(filled)])), padded });
  for await (const { rows, cells } of table.distinct?.(names, signal) ?? distinctTexts(table, names, signal)) {
    padded ||= cells.some(isPadded);
    const texts = cells.map((each) => packed(each.texts)), numbers = columns.map((column, i) => column.meet(filled, texts[i]!));
    for (let taken = 0; taken < rows;) {
      await nextTask();
      const count = Math.min(rows - taken, rowsTogether - filled, rowsInTurn);
      for (const [i, column] of columns.entries()) column.putAll(filled, texts[i]!, numbers[i]!, cells[i]!.places, taken, count);
      [taken, filled] = [taken + count, filled + count];
      if (filled < rowsTogether) continue;
      yield made();
      [from, filled] = [from + filled, 0];
      for (const column of columns) column.begin();
    }
  }
  if (filled > 0) yield made();
}
