import { nextTask } from '../nextTask';
import { CellColumn, type NumberedColumn } from './cellColumn';
import { hashed, noBytes } from './cellDictionary';
import type { CsvBlock } from './csvBlocks';
import { grown } from './wordList';

/** A block with the cells of the wanted columns, by their places in the file; null where it has quotes, which the engine knows how to read. */
export interface NumberedBlock {
  readonly block: CsvBlock;
  readonly columns: ReadonlyMap<number, NumberedColumn> | null;
}

interface Shape { readonly cells: number; readonly delimiter: string }

const newline = 10, carriageReturn = 13, quote = 34;
const turnBytes = 256 * 1024; // a few milliseconds: the engine is asked a dozen times in a block, and stands still while it is not heard

/** Numbers the distinct cells of each wanted column, so that each is looked at once in the whole file. */
export async function* numberedBlocks<End>(blocks: AsyncGenerator<CsvBlock, End>, wanted: readonly number[], shape: Shape): AsyncGenerator<NumberedBlock, End> {
  const columns = Array.from({ length: shape.cells }, (_, column) => (wanted.includes(column) ? new CellColumn() : null));
  for (;;) {
    const found = await blocks.next();
    if (found.done === true) return found.value;
    const block = found.value;
    for (const column of columns) column?.begin(block.records);
    const isTaken = await takeCells(block, shape, columns);
    yield { block, columns: isTaken ? new Map(columns.flatMap((column, i) => (column === null ? [] : [[i, column.numbered(block.records)] as const]))) : null };
  }
}

/** Goes through the cells of a block by itself: false where it finds others than were counted, for the engine to find out what is wrong. */
async function takeCells({ parts, records }: CsvBlock, shape: Shape, columns: readonly (CellColumn | null)[]): Promise<boolean> {
  const special = new Uint8Array(256);
  for (const byte of [newline, carriageReturn, quote, shape.delimiter.charCodeAt(0)]) special[byte] = 1;
  let row = 0;
  for (const part of parts) {
    const bytes = endingInNewline(part);
    for (let at = 0; at < bytes.length;) {
      await nextTask(); // it is heard what the engine has done, and it gets more to do
      const taken = takeRows(bytes, at, row, special, shape, columns);
      if (taken === null) return false;
      ({ at, row } = taken);
    }
  }
  return row === records;
}

/** Takes the cells of records for as long as others wait for their turn. Gives where the next begins; null: it has other cells. */
function takeRows(bytes: Uint8Array, from: number, first: number, special: Uint8Array, { cells, delimiter }: Shape, columns: readonly (CellColumn | null)[]): { readonly at: number; readonly row: number } | null {
  const between = delimiter.charCodeAt(0), end = Math.min(bytes.length, from + turnBytes);
  let at = from, row = first;
  for (; at < end; row++) {
    for (let column = 0; column < cells; column++) {
      const start = at;
      let byte = bytes[at]!, seen = noBytes;
      while (special[byte] === 0) {
        seen = hashed(seen, byte);
        byte = bytes[++at]!;
      }
      columns[column]?.put(row, bytes, start, at, seen);
      if (byte === carriageReturn) byte = bytes[++at]!;
      if (byte !== (column < cells - 1 ? between : newline)) return null;
      at++;
    }
  }
  return { at, row };
}

function endingInNewline(bytes: Uint8Array): Uint8Array {
  return bytes.at(-1) === newline ? bytes : grown(bytes, new Uint8Array(bytes.length + 1).fill(newline));
}
