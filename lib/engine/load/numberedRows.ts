import { distinctTexts } from '../../intake/binary/distinctCells';
import type { RowTable } from '../../intake/binary/rowTable';
import type { Words } from '../../intake/binary/words';
import { rowsTogether } from '../newColumn';
import { nextTask } from '../nextTask';
import { CellColumn, type NumberedColumn } from './cellColumn';
import { isBlank } from './plainRecords';

const rowsInTurn = 8192; // a few milliseconds: the engine stands still while it is not heard

/** Rows with the cells of the wanted columns, by their places in the file, until the third piece after them is asked for. */
export interface NumberedRows {
  readonly from: number;
  readonly rows: number;
  readonly columns: ReadonlyMap<number, NumberedColumn>;
  readonly padded: boolean; // some cell may begin or end with white space; if not, none does
}

function isPadded({ bytes, starts, ends }: Words): boolean {
  for (let i = 0; i < starts.length; i++) {
    const start = starts[i]!, end = ends[i]!;
    if (end > start && (isBlank[bytes[start]!] === 1 || isBlank[bytes[end - 1]!] === 1)) return true;
  }
  return false;
}

/** Numbers the distinct cells of columns of a file that keeps rows of its own, as many rows at a time as the engine keeps together. */
export async function* numberedRows(table: RowTable, names: readonly string[], signal: AbortSignal): AsyncGenerator<NumberedRows, void> {
  const columns = names.map(() => new CellColumn());
  let from = 0, filled = 0, padded = false;
  const made = (): NumberedRows => ({ from, rows: filled, columns: new Map(names.map((name, i) => [table.names.indexOf(name), columns[i]!.numbered(filled)])), padded });
  for await (const { rows, cells } of table.distinct?.(names, signal) ?? distinctTexts(table, names, signal)) {
    const numbers = columns.map((column, i) => column.meet(filled, cells[i]!.texts, cells[i]!.before));
    padded ||= cells.some(({ texts }) => isPadded(texts));
    for (let taken = 0; taken < rows;) {
      await nextTask();
      const count = Math.min(rows - taken, rowsTogether - filled, rowsInTurn);
      for (const [i, column] of columns.entries()) column.putAll(filled, cells[i]!.texts, numbers[i]!, cells[i]!.places, taken, count);
      [taken, filled] = [taken + count, filled + count];
      if (filled < rowsTogether) continue;
      yield made();
      [from, filled] = [from + filled, 0];
      for (const column of columns) column.begin();
    }
  }
  if (filled > 0) yield made();
}
