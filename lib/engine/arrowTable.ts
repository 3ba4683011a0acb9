import { DateDay, Dictionary, Field, Float64, Int32, makeData, makeVector, Null, Schema, Table, Uint16, Uint8, Utf8, type Vector } from 'apache-arrow';
import type { Words } from '../intake/binary/words';
import { rowsOf, type NewColumn, type NumberColumn, type TextColumn } from './newColumn';

/**
 * Columns of values as an Arrow table. Its buffers are filled here: the library's own builders make code from text where values can be
 * null, which the page's policy forbids.
 * @param names of the table's columns in their order; those that are not given are null
 */
export function arrowTable(columns: readonly NewColumn[], names: readonly string[] = columns.map(({ name }) => name)): Table {
  const rows = rowsOf(columns), given = new Map(columns.map((column) => [column.name, column])), nothing = makeVector(makeData({ type: new Null(), length: rows }));
  const vectors = names.map((name) => [name, vectorOf(given.get(name), rows) ?? nothing] as const);
  return new Table(new Schema(vectors.map(([name, { type }]) => new Field(name, type, true))), Object.fromEntries(vectors));
}

function vectorOf(column: NewColumn | undefined, rows: number): Vector | null {
  if (column === undefined) return null;
  if (column.type !== 'VARCHAR') return numbers(column, rows);
  return column.places !== null && 2 * column.words.starts.length < rows ? repeated(column.words, column.places) : texts(column, rows);
}

/** Few texts, and for each row the number of its own, in as few bytes as hold it. */
function repeated(words: Words, places: Int32Array): Vector {
  const { length } = places, each = Int32Array.from(words.starts, (_, i) => i), dictionary = texts({ name: '', type: 'VARCHAR', words, places: each }, each.length) as Vector<Utf8>;
  const [data, type] = each.length <= 2 ** 8 ? [new Uint8Array(places), new Uint8()] as const : each.length <= 2 ** 16 ? [new Uint16Array(places), new Uint16()] as const : [places, new Int32()] as const; // of those that are null, anything
  return makeVector(makeData({ type: new Dictionary<Utf8, Int32 | Uint8 | Uint16>(new Utf8(), type), length, ...nullsOf(places), data, dictionary }));
}

function nullsOf(places: Int32Array): { readonly nullCount: number; readonly nullBitmap: Uint8Array } {
  const nullBitmap = new Uint8Array((places.length + 7) >> 3);
  let nullCount = 0;
  for (let first = 0; first < places.length; first += 8) {
    const after = Math.min(first + 8, places.length);
    let bits = 0;
    for (let i = first; i < after; i++) {
      if (places[i]! < 0) nullCount++;
      else bits |= 1 << (i - first);
    }
    nullBitmap[first >> 3] = bits;
  }
  return { nullCount, nullBitmap };
}

function numbers({ type, values, valid }: NumberColumn, length: number): Vector {
  const common = { length, ...(valid !== null && { nullBitmap: valid, nullCount: -1 }) };
  if (values instanceof Uint8Array) return makeVector(makeData({ type: new Uint8(), data: values, ...common }));
  if (values instanceof Float64Array) return makeVector(makeData({ type: new Float64(), data: values, ...common }));
  return type === 'DATE' ? makeVector(makeData({ type: new DateDay(), data: values, ...common })) : makeVector(makeData({ type: new Int32(), data: values, ...common }));
}

function texts({ words, places }: TextColumn, length: number): Vector {
  const { valueOffsets, data, nullBitmap, nullCount } = places === null ? asTheyStand(words, length) : picked(words, places);
  return makeVector(makeData({ type: new Utf8(), length, nullCount, nullBitmap, valueOffsets, data }));
}

interface TextBuffers { readonly valueOffsets: Int32Array; readonly data: Uint8Array; readonly nullBitmap: Uint8Array; readonly nullCount: number }

function asTheyStand({ bytes, starts, ends }: Words, length: number): TextBuffers {
  const valueOffsets = new Int32Array(length + 1), nullBitmap = new Uint8Array((length + 7) >> 3).fill(255);
  let nullCount = 0;
  valueOffsets.set(ends, 1);
  for (let i = 0; i < length; i++) {
    if (starts[i] !== ends[i]) continue;
    nullBitmap[i >> 3]! &= ~(1 << (i & 7));
    nullCount++;
  }
  return { valueOffsets, data: bytes.subarray(0, valueOffsets[length]), nullBitmap, nullCount };
}

function picked({ bytes, starts, ends }: Words, places: Int32Array): TextBuffers {
  const { length } = places, valueOffsets = new Int32Array(length + 1);
  let size = 0, at = 0;
  for (let i = 0; i < length; i++) if (places[i]! >= 0) size += ends[places[i]!]! - starts[places[i]!]!;
  // Four bytes at a time: what is taken behind a text goes where the next one is written over it.
  const data = new Uint8Array(size + 3), to = new DataView(data.buffer), from = new DataView(bytes.buffer, bytes.byteOffset, bytes.length), lastFour = bytes.length - 4;
  for (let i = 0; i < length; i++) {
    const place = places[i]!;
    if (place >= 0) {
      const start = starts[place]!, end = ends[place]!;
      for (let k = start; k < end; k += 4) to.setInt32(at + k - start, k <= lastFour ? from.getInt32(k) : lastOnes(bytes, k));
      at += end - start;
    }
    valueOffsets[i + 1] = at;
  }
  return { valueOffsets, data: data.subarray(0, size), ...nullsOf(places) };
}

/** Of fewer than four bytes, the first of them the highest. */
function lastOnes(bytes: Uint8Array, from: number): number {
  let four = 0;
  for (let i = from; i < bytes.length; i++) four |= bytes[i]! << (24 - 8 * (i - from));
  return four;
}
