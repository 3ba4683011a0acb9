/**
 * Reads whole numbers of some bits each from bytes `from` up to `to`: runs of one number, and numbers packed bit by bit (Parquet's “RLE / bit-packing
 * hybrid”). Throws where it is not exactly as the format has it.
 */
export function readRuns(bytes: Uint8Array, from: number, to: number, bits: number, numbers: Int32Array, count: number): void {
  if (bits > mostBits || to > bytes.length) throw new Error('the numbers are too large, or not there');
  const bytesOfOne = (bits + 7) >> 3;
  let at = from, done = 0;
  while (done < count) {
    let header = 0, shift = 0, byte = 128;
    while (byte > 127) {
      if (at >= to || shift > 21) throw new Error('a run without a length');
      byte = bytes[at++]!;
      header |= (byte & 127) << shift;
      shift += 7;
    }
    const packed = (header & 1) === 1, inRun = packed ? 8 * (header >> 1) : header >> 1, size = packed ? bits * (header >> 1) : bytesOfOne;
    if (inRun === 0 || size > to - at || (!packed && inRun > count - done)) throw new Error('a run of another length');
    const end = Math.min(done + inRun, count);
    if (packed) {
      unpack(bytes, at, bits, numbers, done, end);
    } else {
      let number = 0;
      for (let i = 0; i < bytesOfOne; i++) number |= bytes[at + i]! << (8 * i);
      if (number >>> bits !== 0) throw new Error('a number of more bits');
      numbers.fill(number, done, end);
    }
    at += size;
    done = end;
  }
}

const mostBits = 24; // of which four bytes hold one, wherever in a byte it begins

function unpack(bytes: Uint8Array, from: number, bits: number, numbers: Int32Array, first: number, end: number): void {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length), mask = (1 << bits) - 1, lastFour = bytes.length - 4;
  for (let i = first, bit = 0; i < end; i++, bit += bits) {
    const at = from + (bit >> 3);
    const four = at <= lastFour ? view.getInt32(at, true) : (bytes[at] ?? 0) | ((bytes[at + 1] ?? 0) << 8) | ((bytes[at + 2] ?? 0) << 16);
    numbers[i] = (four >>> (bit & 7)) & mask;
  }
}
