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
      const from = Math.max(start - row, 0), to = Math.min(end - row, rows), isAll = from === 0 && to === rows;
      const ofPage = isAll ? places.subarray(row - start, row - start + rows) : new Int32Array(rows);
      findPlaces(opened(header, body, rows, chunk), dictionary, list, ofPage);
      if (!isAll) places.set(ofPage.subarray(from, to), row + from - start);
    }
    row += rows;
  }
}

/** Values of a dictionary in a list. */
interface Dictionary { readonly first: number; readonly count: number }

/** A page: which of its rows have a value (1, otherwise 0; null: all have), how many, and these values from a byte on. Of use until another is opened. */
interface OpenPage { readonly page: Uint8Array; readonly at: number; readonly levels: Int32Array | null; readonly values: number; readonly encoding: string }

function opened({ type, uncompressed_page_size: size, data_page_header: v1, data_page_header_v2: v2 }: PageHeader, body: Uint8Array, rows: number, { codec, compressors, optional }: ColumnChunk): OpenPage {
  if (type === 'DATA_PAGE' && v1 !== undefined) {
    const page = decompressPage(body, size, codec, compressors), { encoding } = v1;
    if (!optional) return { page, at: 0, levels: null, values: rows, encoding };
    if (page.length < 4 || v1.definition_level_encoding !== 'RLE') throw new Error('levels of another kind');
    const end = 4 + new DataView(page.buffer, page.byteOffset).getUint32(0, true);
    return { page, at: end, ...levelsIn(page, 4, end, rows), encoding };
  }
  if (type !== 'DATA_PAGE_V2' || v2 === undefined) throw new Error('a page of another kind');
  const { definition_levels_byte_length: levelBytes } = v2;
  if (v2.repetition_levels_byte_length !== 0 || v2.num_rows !== rows || !(levelBytes >= 0 && levelBytes <= (optional ? body.length : 0))) throw new Error('levels of another kind');
  const levels = optional ? levelsIn(body, 0, levelBytes, rows) : { levels: null, values: rows }, packed = body.subarray(levelBytes);
  if (levels.values !== rows - v2.num_nulls) throw new Error('more or fewer values than told');
  return { page: v2.is_compressed === false ? packed : decompressPage(packed, size - levelBytes, codec, compressors), at: 0, ...levels, encoding: v2.encoding };
}

let levelMemory = new Int32Array(0);

function levelsIn(bytes: Uint8Array, from: number, to: number, rows: number): Pick<OpenPage, 'levels' | 'values'> {
  if (levelMemory.length < rows) levelMemory = new Int32Array(rows);
  const levels = levelMemory.subarray(0, rows);
  readRuns(bytes, from, to, 1, levels, rows);
  let values = 0;
  for (let i = 0; i < levels.length; i++) values += levels[i]!;
  return { levels: values === rows ? null : levels, values };
}

function findPlaces({ page, at, levels, values, encoding }: OpenPage, dictionary: Dictionary | null, list: ValueList, places: Int32Array): void {
  if (encoding === 'PLAIN') {
    const first = list.count;
    list.add(page, at, values);
    for (let i = 0; i < values; i++) places[i] = first + i;
  } else if (dictionary !== null && (encoding === 'RLE_DICTIONARY' || encoding === 'PLAIN_DICTIONARY')) {
    if (at >= page.length) throw new Error('numbers without a width');
    readRuns(page, at + 1, page.length, page[at]!, places, values);
    if (!moved(places, values, dictionary)) throw new Error('a number beyond the dictionary');
  } else {
    throw new Error(`values encoded as ${encoding}`);
  }
  if (levels !== null) spread(places, values, levels);
}

/** Makes places in the list of places in the dictionary. */
function moved(places: Int32Array, values: number, { first, count }: Dictionary): boolean {
  let most = -1;
  for (let i = 0; i < values; i++) {
    const place = places[i]!;
    if (place > most) most = place;
    places[i] = place + first;
  }
  return most < count;
}

/** Moves the places of the first rows to the rows that have a value, from the last on: none is written over before it is moved. */
function spread(places: Int32Array, values: number, levels: Int32Array): void {
  for (let i = levels.length - 1, at = values - 1; i >= 0; i--) places[i] = levels[i] === 1 ? places[at--]! : -1;
}
