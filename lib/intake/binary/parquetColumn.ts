import { parquetScan, type ParquetRowRange, type SchemaElement } from 'hyparquet';
import { pagedColumn, type PagedColumn } from './pagedColumn';
import type { ParquetFile } from './parquetFile';
import { inUtf8, wordsOf } from './words';

/** Values of a column: by their places, or as they were decoded, a list for each range of rows; null or undefined: not recorded. */
export type Decoded = PagedColumn | DecodedValues;

export interface DecodedValues {
  readonly kind: 'values' | 'dayValues'; // `dayValues`: days from 1970-01-01
  readonly parts: readonly ArrayLike<unknown>[];
  readonly whole: boolean; // no value of the column can be anything but a whole number of four bytes, with its sign
}

export type ReadColumn = (ranges: readonly ParquetRowRange[]) => Promise<Decoded>;

/**
 * Reads a column with texts left as the bytes of the file and days as numbers: a word of a dictionary is looked at once, however many rows
 * have it. Lists and groups are decoded as they are.
 */
export async function openColumn(options: ParquetFile['options'], column: ParquetFile['columns'][number]): Promise<ReadColumn> {
  const paged = pagedColumn(options, column), decoded = await decodedColumn(options, column);
  return async (ranges) => await paged?.(ranges) ?? decoded(ranges);
}

export async function decodedColumn(options: ParquetFile['options'], { element, children }: ParquetFile['columns'][number]): Promise<ReadColumn> {
  let texts: Uint8Array[] = [], kind: DecodedValues['kind'] = 'values';
  const parsers = {
    stringFromBytes: (bytes: Uint8Array | undefined) => {
      if (bytes === undefined) return undefined;
      return texts.push(bytes) - 1;
    },
    dateFromDays: (days: number) => {
      kind = 'dayValues';
      return days;
    },
  };
  const scan = await parquetScan({ ...options, columns: [element.name], ...(children.length === 0 && { parsers }) });
  return async (ranges) => {
    [texts, kind] = [[], 'values'];
    const parts: ArrayLike<unknown>[] = [];
    for (const range of ranges) {
      const part = await scan.readColumn({ column: element.name, ...range }), rows = range.rowEnd - range.rowStart;
      if (part.length !== rows) throw new Error(`a column holds ${part.length} of ${rows} rows`);
      parts.push(part);
    }
    return texts.length > 0 ? { kind: 'words', words: inUtf8(wordsOf(texts)), places: placesIn(parts) } : { kind, parts, whole: isWhole(element) };
  };
}

const isWhole = ({ type, converted_type: converted, logical_type: logical }: SchemaElement): boolean =>
  type === 'INT32' && converted !== 'DECIMAL' && logical?.type !== 'DECIMAL' && converted !== 'UINT_32' && !(logical?.type === 'INTEGER' && logical.bitWidth === 32 && !logical.isSigned);

function placesIn(parts: readonly ArrayLike<unknown>[]): Int32Array {
  const places = new Int32Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    for (let i = 0; i < part.length; i++, at++) {
      const place = part[i];
      places[at] = typeof place === 'number' ? place : -1;
    }
  }
  return places;
}
