import { msPerDay } from '../../contract/calendarDay';
import { problem, Refusal } from '../../intake/refusal';
import { numberColumn, textColumn, type NewColumn } from '../newColumn';
import type { PagedColumn } from '../../intake/binary/pagedColumn';
import type { Decoded, DecodedValues } from '../../intake/binary/parquetColumn';
import type { Words } from '../../intake/binary/words';
import { allFit, earliest, latest, least, numbersAt } from './pagedNumbers';
import type { TypedField } from './typedColumns';

/** A column to be taken in. `typed`: every value has the type of its field and lies within its limits; a code is then its place in the list, from 1. */
export interface ParquetValues {
  readonly column: NewColumn;
  readonly typed: boolean;
}

/**
 * Typed where all values fit the field. Otherwise what a CSV file would hold, for the checks of text to find what is wrong: numbers stay numbers,
 * anything else becomes text. Null: no row has a value.
 */
export function parquetValues(file: string, field: TypedField, decoded: Decoded): ParquetValues | null {
  switch (decoded.kind) {
    case 'words': return ofWords(field, decoded);
    case 'days': case 'numbers': return ofNumbers(field, decoded);
    case 'dayValues': return decoded.parts.every(isEmpty) ? null : ofDays(field, oneList(decoded.parts) as (number | null)[]);
    case 'values': return decoded.parts.every(isEmpty) ? null : ofValues(file, field, decoded);
  }
}

function ofValues(file: string, field: TypedField, { parts, whole: areWhole }: DecodedValues): ParquetValues {
  const { name } = field, values = oneList(parts), whole = values.some((value) => typeof value === 'bigint');
  const numbers = whole ? values.map((value) => (typeof value === 'bigint' ? Number(value) : value)) : values;
  if (numbers.every((value) => value === null || typeof value === 'number')) {
    if (fits(field, numbers)) return { column: numberColumn(name, field.kind === 'integer' ? 'INTEGER' : 'DOUBLE', numbers), typed: true };
    if (areWhole) return { column: numberColumn(name, 'INTEGER', numbers), typed: false };
    if (!whole) return { column: numberColumn(name, 'DOUBLE', numbers), typed: false };
  }
  return { column: textColumn(name, values.map((value) => asText(file, name, value))), typed: false };
}

function ofWords(field: TypedField, { words, places }: PagedColumn & { kind: 'words' }): ParquetValues | null {
  const { starts, ends } = words, used = usedOf(places, starts.length);
  let longest = 0, hasEmpty = false;
  for (let word = 0; word < used.length; word++) {
    if (used[word] === 0) continue;
    longest = Math.max(longest, ends[word]! - starts[word]!);
    hasEmpty ||= ends[word] === starts[word];
  }
  if (hasEmpty) for (const [i, place] of places.entries()) if (place >= 0 && ends[place] === starts[place]) places[i] = -1;
  if (longest === 0) return null;
  const codes = field.kind === 'code' ? codesOf(field, words, used) : null;
  if (codes !== null) return { column: codeColumn(field.name, places, codes), typed: true };
  const typed = field.kind === 'text' && longest <= (field.maxLength ?? Infinity); // a character has one byte at least
  return { column: { name: field.name, type: 'VARCHAR', words, places }, typed };
}

/** By word: 1 where some row has it. */
function usedOf(places: Int32Array, words: number): Uint8Array {
  const used = new Uint8Array(words);
  for (let i = 0; i < places.length; i++) {
    const place = places[i]!;
    if (place >= 0) used[place] = 1;
  }
  return used;
}

function codeColumn(name: string, places: Int32Array, codes: Uint8Array): NewColumn {
  const values = new Uint8Array(places.length), valid = new Uint8Array((places.length + 7) >> 3);
  for (let i = 0; i < places.length; i++) {
    if (places[i]! < 0) continue;
    values[i] = codes[places[i]!]!;
    valid[i >> 3]! |= 1 << (i & 7);
  }
  return { name, type: 'UTINYINT', values, valid };
}

/** The places in the list, from 1, of the words that rows have; null where one is not in it. */
function codesOf({ codes }: TypedField, { bytes, starts, ends }: Words, used: Uint8Array): Uint8Array | null {
  const placeOf = new Map(codes.map(({ code }, i) => [code, i + 1])), found = new Uint8Array(starts.length);
  for (let i = 0; i < starts.length; i++) {
    if (used[i] === 0) continue;
    const place = placeOf.get(decoder.decode(bytes.subarray(starts[i], ends[i])));
    if (place === undefined) return null;
    found[i] = place;
  }
  return found;
}

const decoder = new TextDecoder();

function ofDays({ name, kind }: TypedField, days: readonly (number | null)[]): ParquetValues {
  const typed = kind === 'date' && days.every((day) => day === null || (day >= earliest && day <= latest));
  return typed ? { column: numberColumn(name, 'DATE', days), typed } : { column: textColumn(name, days.map((day) => (day === null ? null : isoText(new Date(day * msPerDay))))), typed };
}

function ofNumbers(field: TypedField, { kind, numbers, places }: PagedColumn & { readonly kind: 'days' | 'numbers' }): ParquetValues | null {
  const { name } = field;
  if (places.every((place) => place < 0)) return null;
  if (!allFit(field, kind, numbers, places)) {
    if (kind === 'days') return ofDays(field, Array.from(places, (place) => (place < 0 ? null : numbers[place]!)));
    return { column: numbersAt(name, numbers instanceof Int32Array ? 'INTEGER' : 'DOUBLE', numbers, places), typed: false };
  }
  return { column: numbersAt(name, kind === 'days' ? 'DATE' : field.kind === 'integer' ? 'INTEGER' : 'DOUBLE', numbers, places), typed: true };
}

function fits({ kind, min, max }: TypedField, numbers: readonly (number | null)[]): boolean {
  if (!(kind === 'integer' || kind === 'number') || min === null || max === null) return false;
  return numbers.every((x) => x === null || (x >= min && x <= max && (Number.isInteger(x) || (kind === 'number' && Math.abs(x) >= least))));
}

const isNothing = (value: unknown): boolean => value === null || value === undefined || value === '';

function isEmpty(part: ArrayLike<unknown>): boolean {
  let at = 0;
  while (at < part.length && isNothing(part[at])) at++;
  return at === part.length;
}

function oneList(parts: readonly ArrayLike<unknown>[]): unknown[] {
  const values = new Array<unknown>(rowsOf(parts)).fill(null);
  let from = 0;
  for (const part of parts) {
    for (let i = 0; i < part.length; i++) if (!isNothing(part[i])) values[from + i] = part[i];
    from += part.length;
  }
  return values;
}

const rowsOf = (parts: readonly ArrayLike<unknown>[]): number => parts.reduce((sum, { length }) => sum + length, 0);

function asText(file: string, field: string, value: unknown): string | null {
  if (value === null || typeof value === 'string') return value;
  if (typeof value === 'bigint' || typeof value === 'number' || typeof value === 'boolean') return String(value);
  if (value instanceof Date) return isoText(value);
  throw new Refusal([problem('parquet_type', 'the column holds lists, groups or bytes; a table holds text, numbers and dates', { file, field })]);
}

function isoText(date: Date): string {
  if (Number.isNaN(date.getTime())) return String(date); // beyond what a date can be
  const text = date.toISOString();
  return text.endsWith('T00:00:00.000Z') ? text.slice(0, 10) : text; // a time of day is not a calendar day, and will say so
}
