/** Texts in UTF-8: text i stands in the bytes from `starts[i]` up to `ends[i]`. */
export interface Words {
  readonly bytes: Uint8Array;
  readonly starts: Int32Array;
  readonly ends: Int32Array;
}

/** The texts one after the other. */
export function wordsOf(texts: readonly Uint8Array[]): Words {
  const bytes = new Uint8Array(texts.reduce((sum, { length }) => sum + length, 0)), starts = new Int32Array(texts.length), ends = new Int32Array(texts.length);
  let at = 0;
  for (const [i, text] of texts.entries()) {
    bytes.set(text, at);
    starts[i] = at;
    ends[i] = at += text.length;
  }
  return { bytes, starts, ends };
}

/** Texts as they come. */
export class AddedWords {
  count = 0;
  private bytes = new Uint8Array(4096);
  private starts = new Int32Array(256); // and the end of the last

  add(text: Uint8Array): number {
    const at = this.starts[this.count]!, end = at + text.length;
    if (end > this.bytes.length) this.bytes = grown(this.bytes, new Uint8Array(2 * end));
    if (this.count + 1 === this.starts.length) this.starts = grown(this.starts, new Int32Array(2 * this.starts.length));
    for (let i = 0; i < text.length; i++) this.bytes[at + i] = text[i]!; // most are short, for which a call costs more
    this.starts[this.count + 1] = end;
    return this.count++;
  }

  get words(): Words {
    return { bytes: this.bytes, starts: this.starts.subarray(0, this.count), ends: this.starts.subarray(1, this.count + 1) };
  }
}

export function grown<A extends Uint8Array | Int32Array | Float64Array>(from: A, to: A): A {
  to.set(from);
  return to;
}

const decoder = new TextDecoder(), encoder = new TextEncoder();

/** Bytes that are no UTF-8 become what a decoder makes of them: the engine must not see them. */
export function inUtf8(words: Words): Words {
  if (isAscii(words)) return words;
  const { bytes, starts, ends } = words;
  return wordsOf(Array.from(starts, (start, i) => encoder.encode(decoder.decode(bytes.subarray(start, ends[i])))));
}

function isAscii({ bytes, starts, ends }: Words): boolean {
  let seen = 0;
  for (let i = 0; i < starts.length; i++) for (let at = starts[i]!, end = ends[i]!; at < end; at++) seen |= bytes[at]!;
  return seen < 128;
}
