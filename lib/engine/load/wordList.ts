import { grown, type Words } from '../../intake/binary/words';
import { lastOnes } from './plainRecords';

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
    this.makeRoom(this.count, end);
    for (let i = 0; i < length; i += 4) this.view.setInt32(at + i, fours[place + (i >> 2)]!, true); // beyond the end goes what the next one writes over
    this.starts[this.count] = end;
  }

  /** Adds the words at places, nothing for −1. */
  addAll({ bytes, starts, ends }: Words, places: Int32Array): void {
    let size = 0;
    for (let i = 0; i < places.length; i++) if (places[i]! >= 0) size += ends[places[i]!]! - starts[places[i]!]!;
    this.makeRoom(this.count + places.length, this.starts[this.count]! + size);
    const { view } = this, own = this.starts, from = new DataView(bytes.buffer, bytes.byteOffset, bytes.length), lastFour = bytes.length - 4;
    let at = own[this.count]!;
    for (let i = 0, word = this.count; i < places.length; i++) {
      const place = places[i]!;
      if (place >= 0) {
        const start = starts[place]!, end = ends[place]!;
        for (let k = start; k < end; k += 4) view.setInt32(at + k - start, k <= lastFour ? from.getInt32(k, true) : lastOnes(bytes, k), true);
        at += end - start;
      }
      own[++word] = at;
    }
    this.count += places.length;
  }

  private makeRoom(words: number, bytes: number): void {
    if (bytes + 3 > this.view.byteLength) this.view = new DataView(grown(new Uint8Array(this.view.buffer), new Uint8Array(2 * bytes + 3)).buffer);
    if (words >= this.starts.length) this.starts = grown(this.starts, new Int32Array(2 * words));
  }
}
