import type { DistinctCells } from '../../intake/binary/rowTable';
import { wordsOf, type Words } from '../newColumn';
import { CellDictionary, hashOf, noBytes, tooMany } from './cellDictionary';
import { WordList } from './wordList';

/** The cells of a column of some rows: row i holds word `places[i]`, or nothing where the place is −1. */
export interface NumberedColumn {
  readonly words: Words;
  readonly places: Int32Array;
  /** Words have their numbers in all blocks of the file; otherwise those of this block only. */
  readonly lasting: boolean;
}

/** Takes in the cells of a column of a file, a block of rows at a time. They are numbered, unless nearly each is another. */
export class CellColumn {
  private dictionary: CellDictionary | null = new CellDictionary();
  private each = new WordList();
  private places = new Int32Array(0);

  /** Goes on with the next block, of so many rows at most. */
  begin(rows: number): void {
    this.each = new WordList(this.each);
    this.places = new Int32Array(rows);
  }

  /**
   * The cell of a row stands in the bytes from a place up to another.
   * @param seen what `hashed` makes of its bytes, one after the other
   */
  put(row: number, bytes: Uint8Array, start: number, end: number, seen: number): void {
    this.places[row] = start === end ? -1 : this.numberOf(row, bytes, start, end, seen);
  }

  /** Cells of rows from `row` on are those of so many rows from `first` on. */
  putAll(row: number, { texts, places }: DistinctCells, first: number, count: number): void {
    const numbers = new Int32Array(texts.length).fill(-1), { bytes, starts, ends } = wordsOf(texts);
    for (let i = 0; i < count; i++) {
      const place = places[first + i]!;
      if (place < 0 || starts[place] === ends[place]) {
        this.places[row + i] = -1;
        continue;
      }
      const isLasting = this.dictionary !== null;
      if (numbers[place] === -1) {
        const start = starts[place]!, end = ends[place]!;
        numbers[place] = this.numberOf(row + i, bytes, start, end, isLasting ? hashOf(bytes, start, end) : noBytes);
        if (isLasting && this.dictionary === null) { // the numbers of before are of no use any more
          this.putAll(row + i, { texts, places }, first + i, count - i);
          return;
        }
      }
      this.places[row + i] = numbers[place]!;
    }
  }

  /** What was taken in of this block. */
  numbered(rows: number): NumberedColumn {
    return { words: (this.dictionary ?? this.each).words, places: this.places.subarray(0, rows), lasting: this.dictionary !== null };
  }

  private numberOf(row: number, bytes: Uint8Array, start: number, end: number, seen: number): number {
    const { dictionary } = this;
    if (dictionary === null) return this.each.add(bytes, start, end);
    const word = dictionary.numberOf(bytes, start, end, seen);
    if (word !== tooMany) return word;
    this.leave(dictionary, row);
    return this.each.add(bytes, start, end);
  }

  /** From here on each cell stands for itself, in the rows of the block before this one, too. */
  private leave({ words: { bytes, starts, ends } }: CellDictionary, row: number): void {
    this.dictionary = null;
    for (let i = 0; i < row; i++) {
      const word = this.places[i]!;
      if (word >= 0) this.places[i] = this.each.add(bytes, starts[word]!, ends[word]!);
    }
  }
}
