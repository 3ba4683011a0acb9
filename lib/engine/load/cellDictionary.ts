import { grown, type Words } from '../../intake/binary/words';
import type { PackedTexts } from './packedTexts';
import type { WordList } from './wordList';

export const mostWords = 65_536;
const usualFours = 1024 * 1024;

/** The distinct cells of a column, numbered as they are met. */
export class CellDictionary {
  private count = 0;
  private fours = new Int32Array(1024); // of one word after the other, as in packed texts
  private starts = new Int32Array(1024); // bytes; and where the next word would begin
  private ends = new Int32Array(1024);
  private hashes = new Int32Array(1024);
  private slots = new Int32Array(2048); // the number of a word and 1; 0: none

  /** @param mostFours with more, to number the cells is of no use */
  constructor(private readonly mostFours = usualFours) {}

  /** As they are until now. */
  get words(): Words {
    return { bytes: new Uint8Array(this.fours.buffer), starts: this.starts.subarray(0, this.count), ends: this.ends.subarray(0, this.count) };
  }

  /**
   * Writes the numbers of texts from `first` on into `numbers` from a place on, −1 for an empty one. Gives how many it did: fewer where there
   * are so many words that to number them is of no use.
   */
  number({ fours, places, lengths, hashes }: PackedTexts, first: number, count: number, numbers: Int32Array, at: number): number {
    let { slots, starts, ends, fours: known } = this;
    for (let i = 0; i < count; i++) {
      const text = first + i, length = lengths[text]!, hash = hashes[text]!, place = places[text]!, last = (length - 1) >> 2;
      if (length === 0) {
        numbers[at + i] = -1;
        continue;
      }
      let slot = hash & (slots.length - 1), word = slots[slot]! - 1;
      for (; word >= 0; slot = (slot + 1) & (slots.length - 1), word = slots[slot]! - 1) {
        const start = starts[word]!;
        if (ends[word]! - start !== length) continue;
        let k = last;
        while (k >= 0 && known[(start >> 2) + k] === fours[place + k]) k--;
        if (k < 0) break;
      }
      if (word < 0) {
        if (this.count === mostWords || starts[this.count]! >> 2 > this.mostFours) return i;
        word = this.add(fours, place, length, hash, slot);
        ({ slots, starts, ends, fours: known } = this);
      }
      numbers[at + i] = word;
    }
    return count;
  }

  /** Adds the words of numbers to a list, nothing for −1. */
  spell(numbers: Int32Array, count: number, list: WordList): void {
    for (let i = 0; i < count; i++) {
      const word = numbers[i]!;
      if (word < 0) list.add(this.fours, 0, 0);
      else list.add(this.fours, this.starts[word]! >> 2, this.ends[word]! - this.starts[word]!);
    }
  }

  private add(fours: Int32Array, place: number, length: number, hash: number, slot: number): number {
    const word = this.count++, at = this.starts[word]! >> 2, next = at + ((length + 3) >> 2);
    if (next > this.fours.length) this.fours = grown(this.fours, new Int32Array(2 * next));
    if (this.count === this.starts.length) {
      this.starts = grown(this.starts, new Int32Array(2 * this.count));
      this.ends = grown(this.ends, new Int32Array(2 * this.count));
      this.hashes = grown(this.hashes, new Int32Array(2 * this.count));
    }
    for (let i = at; i < next; i++) this.fours[i] = fours[place + i - at]!;
    this.ends[word] = 4 * at + length;
    this.starts[this.count] = 4 * next;
    this.hashes[word] = hash;
    this.slots[slot] = word + 1;
    if (2 * this.count > this.slots.length) this.spread();
    return word;
  }

  private spread(): void {
    const slots = this.slots = new Int32Array(2 * this.slots.length), mask = slots.length - 1;
    for (let word = 0; word < this.count; word++) {
      let slot = this.hashes[word]! & mask;
      while (slots[slot] !== 0) slot = (slot + 1) & mask;
      slots[slot] = word + 1;
    }
  }
}
