import { DateDay, Field, Float64, Int32, makeData, makeVector, Schema, Table, Uint8, Utf8, type Vector } from 'apache-arrow';
import { rowsOf, type NewColumn, type NumberColumn, type TextColumn } from './newColumn';

/**
 * Columns of values as an Arrow table. Its buffers are filled here: the library's own builders make code from text where values can be
 * null, which the page's policy forbids.
 */
export function arrowTable(columns: readonly NewColumn[]): Table {
  const rows = rowsOf(columns), vectors = columns.map((column) => [column.name, column.type === 'VARCHAR' ? texts(column, rows) : numbers(column, rows)] as const);
  return new Table(new Schema(vectors.map(([name, { type }]) => new Field(name, type, true))), Object.fromEntries(vectors));
}

function numbers({ type, values, valid }: NumberColumn, length: number): Vector {
  const common = { length, ...(valid !== null && { nullBitmap: valid, nullCount: -1 }) };
  if (values instanceof Uint8Array) return makeVector(makeData({ type: new Uint8(), data: values, ...common }));
  if (values instanceof Float64Array) return makeVector(makeData({ type: new Float64(), data: values, ...common }));
  return type === 'DATE' ? makeVector(makeData({ type: new DateDay(), data: values, ...common })) : makeVector(makeData({ type: new Int32(), data: values, ...common }));
}

function texts({ words: { bytes, starts, ends }, places }: TextColumn, length: number): Vector {
  const valueOffsets = new Int32Array(length + 1), nullBitmap = new Uint8Array((length + 7) >> 3);
  let size = 0, nullCount = 0;
  for (const place of places) if (place >= 0) size += ends[place]! - starts[place]!;
  const data = new Uint8Array(size);
  let at = 0;
  for (let i = 0; i < length; i++) {
    const place = places[i]!;
    if (place < 0) {
      nullCount++;
    } else {
      const start = starts[place]!, end = ends[place]!;
      // Most are short, for which a call costs more than the work.
      if (end - start > 24) data.set(bytes.subarray(start, end), at);
      else for (let k = start; k < end; k++) data[at + k - start] = bytes[k]!;
      at += end - start;
      nullBitmap[i >> 3]! |= 1 << (i & 7);
    }
    valueOffsets[i + 1] = at;
  }
  return makeVector(makeData({ type: new Utf8(), length, nullCount, nullBitmap, valueOffsets, data }));
}
