import type { CompressionCodec, Compressors, PageHeader } from 'hyparquet';
import { parquetHeader } from 'hyparquet/src/column.js';
import { decompressPage } from 'hyparquet/src/datapage.js';
import { readRuns } from './parquetRuns';
import type { ValueList } from './valueList';

/** The pages of a column in a group of rows. */
export interface ColumnChunk {
  readonly bytes: Uint8Array;
  readonly codec: CompressionCodec;
  readonly compressors: Compressors | undefined;
  readonly optional: boolean; // rows may have no value
  readonly rows: number;
}

/**
 * Reads a column that is no list, from row `start` of its group on: its values are added to a list, and `places` gets the place in it of each row's, −1
 * for none. Throws at whatever is out of the usual, which is for the decoder to judge.
 */
export function readPages(chunk: ColumnChunk, start: number, list: ValueList, places: Int32Array): void {
  const { bytes, codec, compressors } = chunk, reader = { view: new DataView(bytes.buffer, bytes.byteOffset, bytes.length), offset: 0 }, end = start + places.length;
  let row = 0, dictionary: Dictionary | null = null;
  while (row < end) {
    const header = parquetHeader(reader), body = bytes.subarray(reader.offset, reader.offset + header.compressed_page_size);
    if (body.length !== header.compressed_page_size) throw new Error('a page is not there');
    reader.offset += body.length;
    if (header.dictionary_page_header !== undefined && header.type === 'DICTIONARY_PAGE') {
      if (dictionary !== null || row > 0) throw new Error('two dictionaries');
      const first = list.count;
      list.add(decompressPage(body, header.uncompressed_page_size, codec, compressors), 0, header.dictionary_page_header.num_values);
      dictionary = { first, count: list.count - first };
      continue;
    }
    const rows = header.data_page_header?.num_values ?? header.data_page_header_v2?.num_values ?? -1;
    if (!(rows > 0 && row + rows <= chunk.rows)) throw new Error('a page with other rows than the group');
    if (row + rows > start) {
      const from = Math.max(start - row, 0), to = Math.min(end - row, rows), found = placesOf(opened(header, body, rows, chunk), rows, dictionary, list);
      places.set(found.subarray(from, to), row + from - start);
    }
    row += rows;
  }
}

/** Values of a dictionary in a list. */
interface Dictionary { readonly first: number; readonly count: number }

/** A page: which rows have a value (1, otherwise 0; null: all have), and the values from a byte on. */
interface OpenPage { readonly page: Uint8Array; readonly at: number; readonly levels: Int32Array | null; readonly encoding: string }

function opened({ type, uncompressed_page_size: size, data_page_header: v1, data_page_header_v2: v2 }: PageHeader, body: Uint8Array, rows: number, { codec, compressors, optional }: ColumnChunk): OpenPage {
  if (type === 'DATA_PAGE' && v1 !== undefined) {
    const page = decompressPage(body, size, codec, compressors);
    if (!optional) return { page, at: 0, levels: null, encoding: v1.encoding };
    if (page.length < 4 || v1.definition_level_encoding !== 'RLE') throw new Error('levels of another kind');
    const end = 4 + new DataView(page.buffer, page.byteOffset).getUint32(0, true);
    return { page, at: end, levels: levelsIn(page, 4, end, rows), encoding: v1.encoding };
  }
  if (type !== 'DATA_PAGE_V2' || v2 === undefined) throw new Error('a page of another kind');
  const { definition_levels_byte_length: levelBytes } = v2;
  if (v2.repetition_levels_byte_length !== 0 || v2.num_rows !== rows || !(levelBytes >= 0 && levelBytes <= (optional ? body.length : 0))) throw new Error('levels of another kind');
  const levels = optional ? levelsIn(body, 0, levelBytes, rows) : null, packed = body.subarray(levelBytes);
  if (valuesIn(levels, rows) !== rows - v2.num_nulls) throw new Error('more or fewer values than told');
  return { page: v2.is_compressed === false ? packed : decompressPage(packed, size - levelBytes, codec, compressors), at: 0, levels, encoding: v2.encoding };
}

function levelsIn(bytes: Uint8Array, from: number, to: number, rows: number): Int32Array | null {
  const levels = new Int32Array(rows);
  readRuns(bytes, from, to, 1, levels, rows);
  return valuesIn(levels, rows) === rows ? null : levels;
}

function valuesIn(levels: Int32Array | null, rows: number): number {
  if (levels === null) return rows;
  let sum = 0;
  for (let i = 0; i < levels.length; i++) sum += levels[i]!;
  return sum;
}

function placesOf({ page, at, levels, encoding }: OpenPage, rows: number, dictionary: Dictionary | null, list: ValueList): Int32Array {
  const values = valuesIn(levels, rows), places = new Int32Array(values);
  if (encoding === 'PLAIN') {
    const first = list.count;
    list.add(page, at, values);
    for (let i = 0; i < values; i++) places[i] = first + i;
  } else if (dictionary !== null && (encoding === 'RLE_DICTIONARY' || encoding === 'PLAIN_DICTIONARY')) {
    if (at >= page.length) throw new Error('numbers without a width');
    readRuns(page, at + 1, page.length, page[at]!, places, values);
    if (!moved(places, dictionary)) throw new Error('a number beyond the dictionary');
  } else {
    throw new Error(`values encoded as ${encoding}`);
  }
  return levels === null ? places : spread(places, levels);
}

function moved(places: Int32Array, { first, count }: Dictionary): boolean {
  let most = 0;
  for (let i = 0; i < places.length; i++) {
    const place = places[i]!;
    if (place > most) most = place;
    places[i] = place + first;
  }
  return places.length === 0 || most < count;
}

function spread(places: Int32Array, levels: Int32Array): Int32Array {
  for (let i = 0, at = 0; i < levels.length; i++) levels[i] = levels[i] === 1 ? places[at++]! : -1;
  return levels;
}
