import type { Words } from '../newColumn';

/** Texts as they come, one after the other. */
export class WordList {
  count = 0;
  bytes: Uint8Array;
  starts: Int32Array; // and the end of the last

  /** @param like a list that was about as long */
  constructor(like?: WordList) {
    this.bytes = new Uint8Array(like?.bytes.length ?? 4096);
    this.starts = new Int32Array(like?.starts.length ?? 1024);
  }

  /** As they are until now. */
  get words(): Words {
    return { bytes: this.bytes, starts: this.starts.subarray(0, this.count), ends: this.starts.subarray(1, this.count + 1) };
  }

  /** Adds what stands in `from` from a place up to another, and gives its number. */
  add(from: Uint8Array, start: number, end: number): number {
    const word = this.count++, at = this.starts[word]! - start;
    if (at + end > this.bytes.length) this.bytes = grown(this.bytes, new Uint8Array(2 * (at + end)));
    if (this.count === this.starts.length) this.starts = grown(this.starts, new Int32Array(2 * this.count));
    for (let i = start; i < end; i++) this.bytes[at + i] = from[i]!;
    this.starts[this.count] = at + end;
    return word;
  }
}

export function grown<A extends Uint8Array | Int32Array>(from: A, to: A): A {
  to.set(from);
  return to;
}
