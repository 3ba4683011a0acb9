import { DATE, DOUBLE, DuckDBDataChunk, INTEGER, UTINYINT, VARCHAR, type DuckDBConnection } from '@duckdb/node-api';
import duckdb from '@duckdb/node-bindings';
import type { Words } from '../intake/binary/words';
import { rowsOf, type NewColumn, type NumberColumn, type TextColumn } from './newColumn';

const chunkRows = 2048;
const columnTypes = { VARCHAR, UTINYINT, INTEGER, DOUBLE, DATE };

/** Rows of columns as the engine takes them in: they are copied. Whole pieces of a column are: a call for each value would cost ten times as much. */
export function chunksOf(columns: readonly NewColumn[]): readonly DuckDBDataChunk[] {
  const rows = rowsOf(columns), chunks: DuckDBDataChunk[] = [], inline = columns.map((column) => (column.type === 'VARCHAR' ? inlineWords(column.words) : null));
  for (let from = 0; from < rows; from += chunkRows) {
    const count = Math.min(chunkRows, rows - from), chunk = DuckDBDataChunk.create(columns.map(({ type }) => columnTypes[type]), count);
    for (const [i, column] of columns.entries()) {
      const vector = duckdb.data_chunk_get_vector(chunk.chunk, i), words = inline[i] ?? null;
      if (column.type !== 'VARCHAR') fillNumbers(vector, column, from, count);
      else if (words !== null) fillTexts(vector, column, words, from, count);
    }
    chunks.push(chunk);
  }
  return chunks;
}

/** Fills a table of the database `memory` that has the columns of the chunks. */
export async function append(connection: DuckDBConnection, table: string, chunks: readonly DuckDBDataChunk[]): Promise<void> {
  const appender = await connection.createAppender(table, 'main', 'memory');
  try {
    for (const chunk of chunks) appender.appendDataChunk(chunk);
  } finally {
    appender.closeSync(); // left open, it would write what it holds whenever it is collected, whatever the connection does then
  }
}

type Vector = Parameters<typeof duckdb.vector_ensure_validity_writable>[0];

function fillNumbers(vector: Vector, { values, valid }: NumberColumn, from: number, count: number): void {
  const width = values.BYTES_PER_ELEMENT;
  duckdb.copy_data_to_vector(vector, 0, values.buffer, values.byteOffset + from * width, count * width);
  if (valid !== null) setValid(vector, valid.slice(from >> 3, (from + count + 7) >> 3));
}

/** @param bytes chunks begin at a whole byte */
function setValid(vector: Vector, bytes: Uint8Array): void {
  const padded = new Uint8Array(Math.ceil(bytes.length / 8) * 8);
  padded.set(bytes);
  duckdb.vector_ensure_validity_writable(vector);
  duckdb.copy_data_to_vector_validity(vector, 0, padded.buffer, 0, padded.length);
}

const textBytes = 16, shortest = 12; // a `duckdb_string_t`: the length in 4 bytes, then the text itself where it has at most 12

function inlineWords({ bytes, starts, ends }: Words): Uint32Array {
  const entries = new Uint32Array(starts.length * 4), inline = new Uint8Array(entries.buffer);
  for (let i = 0; i < starts.length; i++) {
    const start = starts[i]!, length = ends[i]! - start, at = i * textBytes + 4;
    if (length > shortest) continue;
    entries[4 * i] = length;
    for (let k = 0; k < length; k++) inline[at + k] = bytes[start + k]!;
  }
  return entries;
}

function fillTexts(vector: Vector, { words: { bytes, starts, ends }, places }: TextColumn, inline: Uint32Array, from: number, count: number): void {
  const placeOf = (row: number): number => (places !== null ? places[row]! : starts[row] === ends[row] ? -1 : row);
  const entries = new Uint32Array(count * 4), valid = new Uint8Array((count + 7) >> 3), long: number[] = [];
  for (let i = 0; i < count; i++) {
    const place = placeOf(from + i);
    if (place < 0) continue;
    valid[i >> 3]! |= 1 << (i & 7);
    if (ends[place]! - starts[place]! > shortest) long.push(i);
    else for (let k = 0; k < 4; k++) entries[4 * i + k] = inline[4 * place + k]!;
  }
  duckdb.copy_data_to_vector(vector, 0, entries.buffer, 0, entries.byteLength);
  for (const i of long) {
    const place = placeOf(from + i);
    duckdb.vector_assign_string_element_len(vector, i, bytes.subarray(starts[place], ends[place]));
  }
  setValid(vector, valid);
}
