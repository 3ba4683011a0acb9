import { wordsOf, type Words } from '../intake/binary/words';

/** Rows that the engine keeps together: pieces of as many go in as they are, others leave ends that take memory or are joined later. */
export const rowsTogether = 122_880;

/** A column of values to make a table of, as many as the other columns have. */
export type NewColumn = TextColumn | NumberColumn;

/**
 * Texts: row i holds word `places[i]`, or null where the place is −1. Without places row i holds word i, or null where that is empty; such words
 * follow one another from the first byte on.
 */
export interface TextColumn {
  readonly name: string;
  readonly type: 'VARCHAR';
  readonly words: Words;
  readonly places: Int32Array | null;
}

const arrays = { UTINYINT: Uint8Array, INTEGER: Int32Array, DATE: Int32Array, DOUBLE: Float64Array } as const;
export type NumberType = keyof typeof arrays;

/** Numbers; a DATE is days from 1970-01-01. Bit i of `valid`, from the lowest of each byte, is 1 where row i is not null; null: no row is. */
export type NumberColumn = {
  readonly [Type in NumberType]: { readonly name: string; readonly type: Type; readonly values: InstanceType<(typeof arrays)[Type]>; readonly valid: Uint8Array | null };
}[NumberType];

const valuesOf = (column: NewColumn): number => (column.type === 'VARCHAR' ? column.places ?? column.words.starts : column.values).length;

/** How many rows the columns make. The engines take memory as it is: where one column is shorter, they would read on beyond its end. */
export function rowsOf(columns: readonly NewColumn[]): number {
  const rows = columns[0] === undefined ? 0 : valuesOf(columns[0]), unlike = columns.find((column) => valuesOf(column) !== rows);
  if (unlike !== undefined) throw new Error(`columns of a table have as many values each, but ${columns[0]?.name ?? ''} has ${rows} and ${unlike.name} ${valuesOf(unlike)}`);
  return rows;
}

const encoder = new TextEncoder();

export function textColumn(name: string, texts: readonly (string | null)[]): TextColumn {
  const known = new Map<string, number>(), words: Uint8Array[] = [];
  const place = (text: string): number => {
    let at = known.get(text);
    if (at === undefined) {
      at = words.push(encoder.encode(text)) - 1;
      known.set(text, at);
    }
    return at;
  };
  const places = Int32Array.from(texts, (text) => (text === null ? -1 : place(text)));
  return { name, type: 'VARCHAR', words: wordsOf(words), places };
}

export function numberColumn(name: string, type: NumberType, numbers: readonly (number | null)[]): NumberColumn {
  const values = new arrays[type](numbers.length), valid = new Uint8Array((numbers.length + 7) >> 3);
  let known = 0;
  for (let i = 0; i < numbers.length; i++) {
    const number = numbers[i] ?? null;
    if (number === null) continue;
    values[i] = number;
    valid[i >> 3]! |= 1 << (i & 7);
    known++;
  }
  return { name, type, values, valid: known === numbers.length ? null : valid } as NumberColumn;
}

/** Whole numbers from the first on. */
export function numbersFrom(first: number, count: number): Int32Array<ArrayBuffer> {
  const numbers = new Int32Array(count);
  for (let i = 0; i < count; i++) numbers[i] = first + i;
  return numbers;
}

export const integerColumn = (name: string, values: Int32Array<ArrayBuffer>): NumberColumn => ({ name, type: 'INTEGER', values, valid: null });

/** Whether a row is not null. */
export function hasValue(column: NewColumn, row: number): boolean {
  if (column.type !== 'VARCHAR') return column.valid === null || (column.valid[row >> 3]! >> (row & 7) & 1) === 1;
  const { words: { starts, ends }, places } = column;
  return places === null ? starts[row] !== ends[row] : places[row]! >= 0;
}

/** Memory for the values of a column, to be used again when they are of no use any more. */
export class ColumnMemory {
  private values = new ArrayBuffer(0);
  private bits = new Uint8Array(0);

  /** As many as there are rows, of any value. */
  numbers<Type extends NumberType>(type: Type, rows: number): InstanceType<(typeof arrays)[Type]> {
    const bytes = rows * arrays[type].BYTES_PER_ELEMENT;
    if (this.values.byteLength < bytes) this.values = new ArrayBuffer(bytes);
    return new arrays[type](this.values, 0, rows) as InstanceType<(typeof arrays)[Type]>;
  }

  valid(rows: number): Uint8Array {
    const bytes = (rows + 7) >> 3;
    if (this.bits.length < bytes) this.bits = new Uint8Array(bytes);
    return this.bits.subarray(0, bytes);
  }
}

/** Row i holds number `places[i]` of the list, or null where the place is −1 or the number is NaN. */
export function numbersAt(name: string, type: NumberType, list: Float64Array, places: Int32Array, memory: ColumnMemory): NumberColumn {
  const values = memory.numbers(type, places.length), valid = memory.valid(places.length);
  let known = 0;
  for (let first = 0; first < places.length; first += 8) {
    const after = Math.min(first + 8, places.length);
    let bits = 0;
    for (let i = first; i < after; i++) {
      const place = places[i]!, number = place < 0 ? NaN : list[place]!;
      values[i] = number;
      if (number !== number) continue;
      bits |= 1 << (i - first);
      known++;
    }
    valid[first >> 3] = bits;
  }
  return { name, type, values, valid: known === places.length ? null : valid } as NumberColumn;
}
