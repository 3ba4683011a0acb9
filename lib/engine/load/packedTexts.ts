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

export function packed(texts: readonly Uint8Array[]): PackedTexts {
  const size = texts.reduce((sum, { length }) => sum + ((length + 3) >> 2), 0), fours = new Int32Array(size), bytes = new Uint8Array(fours.buffer);
  const places = new Int32Array(texts.length), lengths = new Int32Array(texts.length), hashes = new Int32Array(texts.length);
  let at = 0;
  for (let i = 0; i < texts.length; i++) {
    const text = texts[i]!, end = at + ((text.length + 3) >> 2);
    for (let k = 0; k < text.length; k++) bytes[4 * at + k] = text[k]!; // most are short, for which a call costs more
    places[i] = at;
    lengths[i] = text.length;
    let seen = 0;
    while (at < end) seen = hashed(seen, fours[at++]!);
    hashes[i] = (text.length & 3) === 0 ? hashed(seen, 0) : seen;
  }
  return { fours, places, lengths, hashes };
}
