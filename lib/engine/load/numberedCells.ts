import { CellColumn, type NumberedColumn } from './cellColumn';
import { csvBlocks, type CsvBlock, type OnRecords } from './csvBlocks';
import { newline } from './plainRecords';
import type { TextScan, TextShape } from './textScan';
import { grown } from '../../intake/binary/words';

/**
 * A block with the cells of the wanted columns, by their places in the file; null where some record is not plain: the engine knows how to read
 * quotes. Cells are there until the third block after it is asked for.
 */
export interface NumberedBlock {
  readonly block: CsvBlock;
  readonly columns: ReadonlyMap<number, NumberedColumn> | null;
}

/** Reads a CSV file once, and numbers the distinct cells of each wanted column, so that each is looked at once in the whole file. */
export async function* numberedBlocks(content: Blob, shape: TextShape, wanted: readonly number[], signal: AbortSignal): AsyncGenerator<NumberedBlock, TextScan> {
  const columns = new Map([...wanted].sort((a, b) => a - b).map((column) => [column, new CellColumn()]));
  let isPlain = true as boolean; // the block so far
  const onRecords: OnRecords = (buffer, start, end, row, plain) => {
    if (!isPlain) return;
    if (plain.found === 0) { // one record that was looked at by itself
      const text = endingInNewline(buffer.subarray(start, end));
      plain.find(text, 0, text.length);
      isPlain = plain.end === text.length;
    }
    if (isPlain) for (const [column, cells] of columns) cells.put(row, plain, column * plain.most, plain.found);
  };
  const blocks = csvBlocks(content, shape, signal, onRecords);
  for (;;) {
    const found = await blocks.next();
    if (found.done === true) return found.value;
    const block = found.value;
    yield { block, columns: isPlain ? new Map([...columns].map(([column, cells]) => [column, cells.numbered(block.records)])) : null };
    isPlain = true;
    for (const cells of columns.values()) cells.begin();
  }
}

const endingInNewline = (bytes: Uint8Array): Uint8Array => (bytes.at(-1) === newline ? bytes : grown(bytes, new Uint8Array(bytes.length + 1).fill(newline)));
