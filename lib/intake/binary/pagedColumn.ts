import type { FileMetaData, ParquetRowRange, RowGroup, SchemaElement } from 'hyparquet';
import { readPages, type ColumnChunk } from './parquetPages';
import type { ParquetFile } from './parquetFile';
import { NumberList, TextList } from './valueList';
import { inUtf8, type Words } from './words';

/** Values of a column: row i holds value `places[i]`, or nothing where the place is −1. */
export type PagedColumn = { readonly places: Int32Array } & ({ readonly kind: 'words'; readonly words: Words } | { readonly kind: 'days' | 'numbers'; readonly numbers: Int32Array | Float64Array });

type Column = ParquetFile['columns'][number];

/**
 * Reads columns of texts, days and numbers of the usual encodings straight from their pages, without an object for each value. Null where it is no such
 * column; what is read is null where anything is out of the usual. The decoder then reads it, and alone says what is wrong.
 */
export function pagedColumn({ file, metadata, compressors }: ParquetFile['options'], { element, children }: Column): ((ranges: readonly ParquetRowRange[]) => Promise<PagedColumn | null>) | null {
  const kind = kindOf(element), [root] = metadata.schema;
  if (kind === null || children.length > 0 || root?.repetition_type === 'REPEATED' || (element.repetition_type !== 'OPTIONAL' && element.repetition_type !== 'REQUIRED')) return null;
  let isUsual = true;
  return async (ranges) => {
    const places = new Int32Array(ranges.reduce((sum, { rowStart, rowEnd }) => sum + rowEnd - rowStart, 0));
    const texts = new TextList(), numbers = element.type === 'DOUBLE' ? new NumberList((length) => new Float64Array(length)) : new NumberList((length) => new Int32Array(length));
    let at = 0;
    for (const { rowStart, rowEnd } of ranges) {
      const place = isUsual ? placeOf(metadata, element, rowStart, rowEnd) : null;
      if (place === null) return null;
      try {
        const chunk: ColumnChunk = { ...place, bytes: new Uint8Array(await file.slice(place.from, place.to)), compressors, optional: element.repetition_type === 'OPTIONAL' };
        readPages(chunk, rowStart - place.firstRow, kind === 'words' ? texts : numbers, places.subarray(at, at + rowEnd - rowStart));
      } catch {
        isUsual = false;
        return null;
      }
      at += rowEnd - rowStart;
    }
    return kind === 'words' ? { kind, words: inUtf8(texts.words), places } : { kind, numbers: numbers.numbers, places };
  };
}

/** As the decoder tells types (its `convert`). */
function kindOf({ type, converted_type: converted, logical_type: logical }: SchemaElement): PagedColumn['kind'] | null {
  if (type === 'BYTE_ARRAY') return (converted === undefined || converted === 'UTF8') && (logical === undefined || logical.type === 'STRING') ? 'words' : null;
  if (type === 'INT32' && converted === 'DATE') return logical === undefined || logical.type === 'DATE' ? 'days' : null;
  if (type === 'INT32' && (converted === undefined || converted === 'INT_8' || converted === 'INT_16' || converted === 'INT_32')) {
    return logical === undefined || (logical.type === 'INTEGER' && logical.isSigned) ? 'numbers' : null;
  }
  return type === 'DOUBLE' && converted === undefined && logical === undefined ? 'numbers' : null;
}

/** The chunk of a column, where its group holds all the rows. */
function placeOf({ row_groups: groups }: FileMetaData, { name, type }: SchemaElement, rowStart: number, rowEnd: number): Pick<ColumnChunk, 'codec' | 'rows'> & { from: number; to: number; firstRow: number } | null {
  let firstRow = 0;
  for (const group of groups) {
    const rows = Number(group.num_rows);
    if (rowStart >= firstRow && rowEnd <= firstRow + rows) {
      const meta = chunkOf(group, name);
      if (meta === undefined || meta.type !== type || meta.path_in_schema.length !== 1) return null;
      const from = Number(meta.dictionary_page_offset ?? 0n) || Number(meta.data_page_offset);
      return { codec: meta.codec, rows, from, to: from + Number(meta.total_compressed_size), firstRow };
    }
    firstRow += rows;
  }
  return null;
}

const chunkOf = ({ columns }: RowGroup, name: string): RowGroup['columns'][number]['meta_data'] =>
  (columns.some(({ file_path: path, meta_data: meta }) => path !== undefined || meta === undefined) ? undefined : columns.find(({ meta_data: meta }) => meta?.path_in_schema[0] === name)?.meta_data);
