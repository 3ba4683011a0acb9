import { hashed, type PackedTexts } from './packedTexts';

/** By byte: 1 where it is the first or last of a blank, a tab or a no-break space. */
export const isBlank = new Uint8Array(256);
for (const byte of [32, 9, 0xc2, 0xa0]) isBlank[byte] = 1;
export const quote = 34, newline = 10, carriageReturn = 13;
export const longestRecord = 1024 * 1024; // bytes; the engine takes up to two million

const cellsAtOnce = 32_768, foursAtOnce = 65_536; // what is kept of them stays near the processor

const afterQuote = 0x23232323; // in each byte, the first value that is above all special ones but the delimiter

/**
 * Finds plain records, and packs their cells: records of one line without a quote, of as many cells as they should have. It takes four bytes at a
 * time, and stops before anything else, which is for others to look at.
 */
export class PlainRecords implements PackedTexts {
  found = 0;
  end = 0; // where in the buffer the last of them ends, with its line
  withReturn = 0; // how many of them end in a carriage return and a line feed
  padded = false; // some cell may begin or end with white space
  readonly most: number; // found at once: cell `column` of record i is text `column * most + i`
  readonly fours = new Int32Array(foursAtOnce);
  readonly places: Int32Array;
  readonly lengths: Int32Array;
  readonly hashes: Int32Array;

  private readonly delimiter: number;
  private readonly special = new Uint8Array(256);

  constructor(private readonly cells: number, delimiter: string) {
    this.delimiter = delimiter.charCodeAt(0);
    this.most = Math.floor(cellsAtOnce / cells) | 1; // odd: columns a power of two apart would drive each other out of the processor's memory
    [this.places, this.lengths, this.hashes] = [new Int32Array(this.most * cells), new Int32Array(this.most * cells), new Int32Array(this.most * cells)];
    for (const byte of [0, newline, carriageReturn, quote, this.delimiter]) this.special[byte] = 1;
  }

  /** Finds those that stand from one place on without a gap, as many as begin before another, but not more than `limit`. */
  find(bytes: Uint8Array, from: number, to: number, limit = this.most): void {
    const { cells, delimiter, special, most, fours, places, lengths, hashes } = this, { length } = bytes, all = Math.min(most, limit);
    const view = new DataView(bytes.buffer, bytes.byteOffset, length), delimiters = Math.imul(delimiter, 0x01010101), lastFour = length - 4;
    let found = 0, next = from, at = from, packed = 0, withReturn = 0, seldom = 0, padded = false;
    records: while (found < all && next < to) {
      for (let column = 0, text = found; column < cells; column++, text += most) {
        const start = at;
        let hash = 0, byte = 0;
        places[text] = packed;
        cell: for (;;) {
          if (packed === foursAtOnce) break records;
          const four = at <= lastFour ? view.getInt32(at, true) : lastOnes(bytes, at), other = four ^ delimiters;
          seldom |= four; // letters beyond ASCII, of which a no-break space may be one
          // Bit 7 of each byte below a quote's or equal to the delimiter; of others only behind one of these.
          for (let marks = (((four - afterQuote) & ~four) | ((other - 0x01010101) & ~other)) & 0x80808080; marks !== 0; marks &= marks - 1) {
            const mark = marks & -marks, before = (31 - Math.clz32(mark)) >> 3;
            byte = (four >>> (before << 3)) & 255;
            if (special[byte] === 0) {
              seldom = -1; // perhaps a blank
              continue;
            }
            const rest = four & ((mark >>> 7) - 1);
            at += before;
            fours[packed] = rest;
            packed += (before + 3) >> 2;
            hash = hashed(hash, rest);
            break cell;
          }
          fours[packed++] = four;
          hash = hashed(hash, four);
          at += 4;
        }
        lengths[text] = at - start;
        hashes[text] = hash;
        if ((seldom & 0x80808080) !== 0 && at > start && (isBlank[bytes[start]!] === 1 || isBlank[bytes[at - 1]!] === 1)) padded = true;
        at++;
        if (column < cells - 1 && byte !== delimiter) break records;
      }
      const atEnd = at - 1;
      if (atEnd === next || atEnd - next > longestRecord || atEnd >= length) break;
      if (bytes[atEnd] === carriageReturn && at < length && bytes[at] === newline) {
        at++;
        withReturn++;
      } else if (bytes[atEnd] !== newline) {
        break;
      }
      next = at;
      found++;
    }
    [this.found, this.end, this.withReturn, this.padded] = [found, next, withReturn, padded];
  }
}

/** Of fewer than four bytes, and zeros after them. */
export function lastOnes(bytes: Uint8Array, at: number): number {
  let four = 0;
  for (let i = at; i < bytes.length; i++) four |= bytes[i]! << (8 * (i - at));
  return four;
}
