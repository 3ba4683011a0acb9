import type { Words } from '../newColumn';

/** Texts as they come, one after the other without a gap. */
export class WordList {
  private count = 0;
  private view = new DataView(new ArrayBuffer(4096)); // of their bytes, of which the last three are to spare
  private starts = new Int32Array(1024); // and the end of the last

  clear(): void {
    this.count = 0;
  }

  get words(): Words {
    return { bytes: new Uint8Array(this.view.buffer), starts: this.starts.subarray(0, this.count), ends: this.starts.subarray(1, this.count + 1) };
  }

  /** Adds a text that is packed in `fours` from a place on. */
  add(fours: Int32Array, place: number, length: number): void {
    const at = this.starts[this.count++]!, end = at + length;
    if (end + 3 > this.view.byteLength) this.view = new DataView(grown(new Uint8Array(this.view.buffer), new Uint8Array(2 * end + 3)).buffer);
    if (this.count === this.starts.length) this.starts = grown(this.starts, new Int32Array(2 * this.count));
    for (let i = 0; i < length; i += 4) this.view.setInt32(at + i, fours[place + (i >> 2)]!, true); // beyond the end goes what the next one writes over
    this.starts[this.count] = end;
  }
}

export function grown<A extends Uint8Array | Int32Array>(from: A, to: A): A {
  to.set(from);
  return to;
}
