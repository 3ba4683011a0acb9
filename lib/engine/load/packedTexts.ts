import type { Words } from '../../intake/binary/words';

/** Texts to be compared four bytes at a time: text i stands in `fours` from `places[i]` on, the first byte the lowest, and what its last four have to spare is zero. */
export interface PackedTexts {
  readonly fours: Int32Array;
  readonly places: Int32Array;
  readonly lengths: Int32Array; // in bytes
  readonly hashes: Int32Array;
}

/** Goes on with the number that some bytes make by four more. After a text comes a zero: its last four hold at least one, or are nothing else. */
export function hashed(seen: number, four: number): number {
  const product = Math.imul(seen ^ four, 0x9e3779b1);
  return product ^ (product >>> 15); // the next text may differ in its last byte only, which is the highest
}

export function packed({ bytes, starts, ends }: Words): PackedTexts {
  const count = starts.length, places = new Int32Array(count), lengths = new Int32Array(count), hashes = new Int32Array(count);
  let size = 0;
  for (let i = 0; i < count; i++) {
    places[i] = size;
    size += ((lengths[i] = ends[i]! - starts[i]!) + 3) >> 2;
  }
  const fours = new Int32Array(size), to = new Uint8Array(fours.buffer);
  for (let i = 0; i < count; i++) {
    const start = starts[i]!, length = lengths[i]!, place = places[i]!, end = place + ((length + 3) >> 2);
    for (let k = 0; k < length; k++) to[4 * place + k] = bytes[start + k]!; // most are short, for which a call costs more
    let seen = 0;
    for (let at = place; at < end; at++) seen = hashed(seen, fours[at]!);
    hashes[i] = (length & 3) === 0 ? hashed(seen, 0) : seen;
  }
  return { fours, places, lengths, hashes };
}
