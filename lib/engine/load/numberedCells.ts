import type { Words } from '../newColumn';
import { CellDictionary, hashed, noBytes, tooMany } from './cellDictionary';
import type { CsvBlock } from './csvBlocks';
import { grown, WordList } from './wordList';

/** The cells of a column of a block: row i holds word `places[i]`, or nothing where the place is −1. */
export interface NumberedColumn {
  readonly words: Words;
  readonly places: Int32Array;
  /** Words have their numbers in all blocks of the file; otherwise those of this block only. */
  readonly lasting: boolean;
}

/** A block with the cells of the wanted columns, by their places in the file; null where it has quotes, which the engine knows how to read. */
export interface NumberedBlock {
  readonly block: CsvBlock;
  readonly columns: ReadonlyMap<number, NumberedColumn> | null;
}

const newline = 10, carriageReturn = 13, quote = 34;

/** Numbers the distinct cells of each wanted column, so that each is looked at once in the whole file. Columns of which nearly every cell is another are left as they are. */
export async function* numberedBlocks<End>(
  blocks: AsyncGenerator<CsvBlock, End>, wanted: readonly number[], shape: { readonly cells: number; readonly delimiter: string },
): AsyncGenerator<NumberedBlock, End> {
  const dictionaries = new Map(wanted.map((column) => [column, new CellDictionary()]));
  for (;;) {
    const found = await blocks.next();
    if (found.done === true) return found.value;
    let columns: Columns | TooMany | null;
    do {
      columns = numbered(found.value, shape, wanted, dictionaries);
      if (columns !== null && 'column' in columns) dictionaries.delete(columns.column);
    } while (columns !== null && 'column' in columns);
    yield { block: found.value, columns };
  }
}

type Columns = ReadonlyMap<number, NumberedColumn>;
interface TooMany { readonly column: number }

/** Goes through the cells of a block by itself: where it finds others than were counted, the block is left to the engine, which finds out what is wrong. */
function numbered(
  { parts, records }: CsvBlock, { cells, delimiter }: { readonly cells: number; readonly delimiter: string }, wanted: readonly number[], dictionaries: ReadonlyMap<number, CellDictionary>,
): Columns | TooMany | null {
  const between = delimiter.charCodeAt(0), special = new Uint8Array(256);
  for (const byte of [newline, carriageReturn, quote, between]) special[byte] = 1;
  const lists = Array.from({ length: cells }, (_, column) => {
    const dictionary = dictionaries.get(column) ?? null;
    return wanted.includes(column) ? { dictionary, each: new WordList(), places: new Int32Array(records) } : null;
  });
  let row = 0;
  for (const part of parts) {
    const bytes = endingInNewline(part);
    for (let at = 0; at < bytes.length; row++) {
      for (let column = 0; column < cells; column++) {
        const start = at, list = lists[column];
        let byte = bytes[at]!, seen = noBytes;
        while (special[byte] === 0) {
          seen = hashed(seen, byte);
          byte = bytes[++at]!;
        }
        if (list != null) {
          const { dictionary, each, places } = list;
          const word = start === at ? -1 : dictionary === null ? each.add(bytes, start, at) : dictionary.numberOf(bytes, start, at, seen);
          if (word === tooMany) return { column };
          places[row] = word;
        }
        if (byte === carriageReturn) byte = bytes[++at]!;
        if (byte !== (column < cells - 1 ? between : newline)) return null;
        at++;
      }
    }
  }
  if (row !== records) return null;
  return new Map(lists.flatMap((list, column) =>
    (list === null ? [] : [[column, { words: (list.dictionary ?? list.each).words, places: list.places, lasting: list.dictionary !== null }] as const])));
}

function endingInNewline(bytes: Uint8Array): Uint8Array {
  return bytes.at(-1) === newline ? bytes : grown(bytes, new Uint8Array(bytes.length + 1).fill(newline));
}
