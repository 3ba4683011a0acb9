import { grown, type Words } from '../../intake/binary/words';
import { rowsTogether } from '../newColumn';
import { CellDictionary } from './cellDictionary';
import { daysBetween } from './daysBetween';
import { packed, type PackedTexts } from './packedTexts';
import { WordList } from './wordList';

/** The cells of a column of some rows: row i holds word `places[i]`, which has its number in all blocks of the file, or nothing where the place is −1. */
export interface NumberedColumn {
  readonly words: Words;
  /** null: nearly each cell is another, and row i holds word i of this block, or nothing where that is empty. */
  readonly places: Int32Array | null;
}

/** Takes in the cells of a column of a file, a block of rows at a time. They are numbered, unless nearly each is another. */
export class CellColumn {
  private dictionary: CellDictionary | null = new CellDictionary();
  private each = new WordList();
  private places = new Int32Array(1024);
  private met = new Int32Array(1024); // numbers of the texts that were met last
  private isFirst = true; // block
  private before = [{ each: new WordList(), places: new Int32Array(1024) }, { each: new WordList(), places: new Int32Array(1024) }];

  /** Goes on with the next block, in the memory of the third before it: new memory costs more than what is written there. */
  begin(): void {
    this.before.push({ each: this.each, places: this.places });
    const { each, places } = this.before.shift()!;
    [this.each, this.places] = [each, places];
    each.clear();
    if (this.isFirst) this.expectDays();
    this.isFirst = false;
  }

  /** Numbers the days between those of the first block: otherwise nearly every block has a few new ones, which are waited for to be read. */
  private expectDays(): void {
    if (this.dictionary === null) return;
    const days = packed(daysBetween(this.dictionary.words)), count = days.lengths.length;
    this.dictionary.number(days, 0, count, new Int32Array(count), 0);
  }

  /** The cells of rows from `row` on are texts from `first` on. */
  put(row: number, texts: PackedTexts, first: number, count: number): void {
    let done = 0;
    if (this.dictionary !== null) {
      this.makeRoom(row + count);
      done = this.dictionary.number(texts, first, count, this.places, row);
      if (done === count) return;
      this.leave(this.dictionary, row + done);
    }
    const { fours, places, lengths } = texts;
    for (let i = first + done; i < first + count; i++) this.each.add(fours, places[i]!, lengths[i]!);
  }

  /** The numbers of texts of which rows from `row` on may hold any, until others are met; null where cells are not numbered. The first `before` were met last time. */
  meet(row: number, { bytes, starts, ends }: Words, before: number): Int32Array | null {
    if (this.dictionary === null) return null;
    const count = starts.length - before;
    if (starts.length > this.met.length) this.met = grown(this.met, new Int32Array(2 * starts.length));
    if (this.dictionary.number(packed({ bytes, starts: starts.subarray(before), ends: ends.subarray(before) }), 0, count, this.met, before) === count) return this.met;
    this.leave(this.dictionary, row);
    return null;
  }

  /** The cells of rows from `row` on are the texts at places from `first` on, nothing where the place is −1; of texts that were met. */
  putAll(row: number, texts: Words, numbers: Int32Array | null, of: Int32Array, first: number, count: number): void {
    if (numbers === null) {
      this.each.addAll(texts, of.subarray(first, first + count));
      return;
    }
    this.makeRoom(row + count);
    for (let i = 0; i < count; i++) {
      const text = of[first + i]!;
      this.places[row + i] = text < 0 ? -1 : numbers[text]!;
    }
  }

  /** What was taken in of this block. */
  numbered(rows: number): NumberedColumn {
    return this.dictionary === null ? { words: this.each.words, places: null } : { words: this.dictionary.words, places: this.places.subarray(0, rows) };
  }

  private makeRoom(rows: number): void {
    if (rows > this.places.length) this.places = grown(this.places, new Int32Array(Math.max(Math.min(2 * rows, rowsTogether), rows)));
  }

  /** From here on each cell stands for itself, in the rows of the block before this one, too. */
  private leave(dictionary: CellDictionary, row: number): void {
    this.dictionary = null;
    dictionary.spell(this.places, row, this.each);
  }
}
