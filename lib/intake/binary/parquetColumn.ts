import { parquetScan, type ParquetRowRange, type SchemaElement, type SchemaTree } from 'hyparquet';

/** Values of a column as they were decoded, a list for each range of rows; null or undefined: not recorded. */
export interface Decoded {
  /** `words`: places in `words`; `days`: days from 1970-01-01; `values`: whatever the file holds. */
  readonly kind: 'words' | 'days' | 'values';
  readonly words: readonly Uint8Array[]; // UTF-8 where the file keeps its promise
  readonly parts: readonly ArrayLike<unknown>[];
  readonly whole: boolean; // no value of the column can be anything but a whole number of four bytes, with its sign
}

export type ReadColumn = (ranges: readonly ParquetRowRange[]) => Promise<Decoded>;

/**
 * Reads a column with texts left as the bytes of the file and days as numbers: a word of a dictionary is looked at once, however many rows
 * have it. Lists and groups are decoded as they are.
 */
export async function openColumn(options: Parameters<typeof parquetScan>[0], { element, children }: SchemaTree): Promise<ReadColumn> {
  let words: Uint8Array[] = [], kind: Decoded['kind'] = 'values';
  const parsers = {
    stringFromBytes: (bytes: Uint8Array | undefined) => {
      if (bytes === undefined) return undefined;
      kind = 'words';
      return words.push(bytes) - 1;
    },
    dateFromDays: (days: number) => {
      kind = 'days';
      return days;
    },
  };
  const scan = await parquetScan({ ...options, columns: [element.name], ...(children.length === 0 && { parsers }) });
  return async (ranges) => {
    [words, kind] = [[], 'values'];
    const parts: ArrayLike<unknown>[] = [];
    for (const range of ranges) {
      const part = await scan.readColumn({ column: element.name, ...range }), rows = range.rowEnd - range.rowStart;
      if (part.length !== rows) throw new Error(`a column holds ${part.length} of ${rows} rows`);
      parts.push(part);
    }
    return { kind, words, parts, whole: isWhole(element) };
  };
}

const isWhole = ({ type, converted_type: converted, logical_type: logical }: SchemaElement): boolean =>
  type === 'INT32' && converted !== 'DECIMAL' && logical?.type !== 'DECIMAL' && converted !== 'UINT_32' && !(logical?.type === 'INTEGER' && logical.bitWidth === 32 && !logical.isSigned);

const decoder = new TextDecoder(), encoder = new TextEncoder();

/** Bytes that are no UTF-8 become what a decoder makes of them: the engine must not see them. */
export function utf8(word: Uint8Array): Uint8Array {
  for (let i = 0; i < word.length; i++) if (word[i]! > 127) return encoder.encode(decoder.decode(word));
  return word;
}
