import { grown, type Words } from './words';

/** Values of a column, added from pages of a Parquet file in which they stand one after the other (its encoding PLAIN). */
export interface ValueList {
  readonly count: number;
  /** Adds so many values that stand in a page from a byte on. Throws where they are not all there. */
  add(page: Uint8Array, from: number, values: number): void;
}

/** Texts, each with its length before it. They stay where they are. */
export class TextList implements ValueList {
  count = 0;
  private readonly pages: Uint8Array[] = [];
  private size = 0; // of the pages
  private starts = new Int32Array(0);
  private ends = new Int32Array(0);

  add(page: Uint8Array, from: number, values: number): void {
    const count = this.count + values;
    if (!(values >= 0 && 4 * values <= page.length - from)) throw new Error('more texts than there are bytes');
    if (count > this.starts.length) [this.starts, this.ends] = [grown(this.starts, new Int32Array(roomFor(count))), grown(this.ends, new Int32Array(roomFor(count)))];
    if (!findTexts(page, from, this.size, this.starts.subarray(this.count, count), this.ends.subarray(this.count, count))) throw new Error('a text is longer than its page');
    this.count = count;
    this.pages.push(page);
    this.size += page.length;
  }

  get words(): Words {
    const [first = new Uint8Array(0), ...others] = this.pages;
    let bytes = first;
    if (others.length > 0) {
      let at = 0;
      bytes = new Uint8Array(this.size);
      for (const page of this.pages) {
        bytes.set(page, at);
        at += page.length;
      }
    }
    return { bytes, starts: this.starts.subarray(0, this.count), ends: this.ends.subarray(0, this.count) };
  }
}

function findTexts(page: Uint8Array, from: number, pageAt: number, starts: Int32Array, ends: Int32Array): boolean {
  const { length } = page;
  let at = from;
  for (let i = 0; i < starts.length; i++) {
    if (at + 4 > length) return false;
    const size = page[at]! | (page[at + 1]! << 8) | (page[at + 2]! << 16) | (page[at + 3]! << 24);
    at += 4;
    if (size < 0 || size > length - at) return false;
    starts[i] = pageAt + at;
    at += size;
    ends[i] = pageAt + at;
  }
  return true;
}

/** Numbers of four or eight bytes. */
export class NumberList<Numbers extends Int32Array | Float64Array> implements ValueList {
  count = 0;
  private all: Numbers;

  constructor(private readonly make: (length: number) => Numbers) {
    this.all = make(0);
  }

  add(page: Uint8Array, from: number, values: number): void {
    const count = this.count + values, size = this.all.BYTES_PER_ELEMENT;
    if (!(values >= 0 && size * values <= page.length - from)) throw new Error('more numbers than there are bytes');
    if (count > this.all.length) this.all = grown(this.all, this.make(roomFor(count)));
    new Uint8Array(this.all.buffer, size * this.count).set(page.subarray(from, from + size * values));
    this.count = count;
  }

  get numbers(): Numbers {
    return this.all.subarray(0, this.count) as Numbers;
  }
}

const roomFor = (count: number): number => (count < 1024 ? count : count + (count >> 1));
