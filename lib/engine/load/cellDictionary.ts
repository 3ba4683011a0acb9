import type { Words } from '../newColumn';
import { grown, WordList } from './wordList';

export const mostWords = 65_536;
const mostBytes = 4 * 1024 * 1024;
export const tooMany = -2;

export const noBytes = 0x811c9dc5;
/** Goes on with the number that some bytes make by one more. */
export const hashed = (seen: number, byte: number): number => Math.imul(seen ^ byte, 0x01000193);

/** The number that the bytes from a place up to another make. */
export function hashOf(bytes: Uint8Array, from: number, to: number): number {
  let seen = noBytes;
  for (let i = from; i < to; i++) seen = hashed(seen, bytes[i]!);
  return seen;
}

/** The distinct cells of a column, numbered as they are met. */
export class CellDictionary {
  private readonly list = new WordList();
  private hashes = new Int32Array(1024);
  private slots = new Int32Array(2048); // the number of a word and 1; 0: none

  /** As they are until now. */
  get words(): Words {
    return this.list.words;
  }

  /**
   * The number of the cell that stands in the bytes from a place up to another; `tooMany` where the column has so many that to number them is of no use.
   * @param seen what `hashed` makes of its bytes, one after the other
   */
  numberOf(cells: Uint8Array, from: number, to: number, seen: number): number {
    const { slots, list: { starts, bytes } } = this, mask = slots.length - 1, hash = seen ^ (seen >>> 15);
    for (let slot = hash & mask; ; slot = (slot + 1) & mask) {
      const word = slots[slot]! - 1;
      if (word < 0) return this.add(cells, from, to, hash, slot);
      let at = starts[word]!;
      if (starts[word + 1]! - at !== to - from) continue;
      let i = from;
      while (i < to && cells[i] === bytes[at]) { i++; at++; }
      if (i === to) return word;
    }
  }

  private add(cells: Uint8Array, from: number, to: number, hash: number, slot: number): number {
    if (this.list.count === mostWords || this.list.starts[this.list.count]! > mostBytes) return tooMany;
    const word = this.list.add(cells, from, to);
    if (word === this.hashes.length) this.hashes = grown(this.hashes, new Int32Array(2 * word));
    this.hashes[word] = hash;
    this.slots[slot] = word + 1;
    if (2 * (word + 1) > this.slots.length) this.spread();
    return word;
  }

  private spread(): void {
    const slots = this.slots = new Int32Array(2 * this.slots.length), mask = slots.length - 1;
    for (let word = 0; word < this.list.count; word++) {
      let slot = this.hashes[word]! & mask;
      while (slots[slot] !== 0) slot = (slot + 1) & mask;
      slots[slot] = word + 1;
    }
  }
}
