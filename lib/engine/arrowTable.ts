import { Field, Float64, Int32, makeData, makeVector, Schema, Table, Utf8, type Vector } from 'apache-arrow';
import type { NewColumn } from './database';

/**
 * Columns of values as an Arrow table. Its buffers are filled here: the library's own builders make code from text where values can be
 * null, which the page's policy forbids.
 */
export function arrowTable(columns: readonly NewColumn[]): Table {
  const vectors = columns.map((column) => [column.name, vectorOf(column)] as const);
  return new Table(new Schema(vectors.map(([name, { type }]) => new Field(name, type, true))), Object.fromEntries(vectors));
}

function vectorOf({ type, values }: NewColumn): Vector {
  const length = values.length, nullBitmap = new Uint8Array((length + 7) >> 3);
  let nullCount = 0;
  for (let i = 0; i < length; i++) {
    if (values[i] === null) nullCount++;
    else nullBitmap[i >> 3]! |= 1 << (i & 7);
  }
  const common = { length, nullCount, nullBitmap };
  if (type === 'VARCHAR') return makeVector(makeData({ type: new Utf8(), ...common, ...textBuffers(values) }));
  const data = type === 'INTEGER' ? new Int32Array(length) : new Float64Array(length);
  for (let i = 0; i < length; i++) data[i] = Number(values[i] ?? 0);
  return data instanceof Int32Array ? makeVector(makeData({ type: new Int32(), ...common, data })) : makeVector(makeData({ type: new Float64(), ...common, data }));
}

function textBuffers(values: NewColumn['values']): { valueOffsets: Int32Array; data: Uint8Array } {
  const encoder = new TextEncoder(), valueOffsets = new Int32Array(values.length + 1);
  let data = new Uint8Array(16 * values.length + 64), at = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i];
    if (value !== null && value !== undefined) {
      const text = String(value);
      if (at + 3 * text.length > data.length) { // a unit of a string is at most three bytes
        const larger = new Uint8Array(2 * data.length + 3 * text.length);
        larger.set(data);
        data = larger;
      }
      const ascii = putAscii(text, data, at);
      at = ascii === text.length ? at + ascii : at + encoder.encodeInto(text, data.subarray(at)).written;
    }
    valueOffsets[i + 1] = at;
  }
  return { valueOffsets, data: data.subarray(0, at) };
}

/** Most cells are short and ASCII, for which a call of the encoder costs more than the work. Returns how many letters were put before one that is not. */
function putAscii(text: string, data: Uint8Array, at: number): number {
  for (let i = 0; i < text.length; i++) {
    const letter = text.charCodeAt(i);
    if (letter > 127) return i;
    data[at + i] = letter;
  }
  return text.length;
}
