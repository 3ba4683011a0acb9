import { codeLists, type CodeListName } from '../../contract/codes';
import { passing, quoteName, sql, type LoadingDatabase } from '../database';
import { wordsOf, type Words } from '../../intake/binary/words';
import { ColumnMemory, numberColumn, numbersAt, type NewColumn, type NumberType } from '../newColumn';
import { CellDictionary, mostWords } from './cellDictionary';
import { codeAt } from './codeTypes';
import type { NumberedColumn } from './cellColumn';
import { packed } from './packedTexts';
import { cellReading, type TypedField } from './typedColumns';

/** How a field is read from a column of a file. */
export interface CellReading {
  readonly field: TypedField;
  readonly column: number; // its place in the file
  readonly name: string; // of the SQL column of its values
  /** SQL: what the file holds of the field, null where nothing is recorded; from a cell. */
  readonly recorded: (cell: string) => string;
  /** SQL: the same as the data dictionary writes it; from the name of a column. */
  readonly text: (recorded: string) => string;
  /** The field is text, and every cell stands for what it says. */
  readonly asItStands: boolean;
}

/** What the words of a column mean for one field: by their numbers. */
interface Meaning {
  readonly values: Float64Array; // NaN: nothing is recorded
  readonly unsound: { words: number; readonly is: Uint8Array };
  readonly texts: CellDictionary; // of which `values` holds the numbers, where the field is text
  readonly memory: ColumnMemory; // of the rows that go in
}

/** Reads each distinct cell of a file once, by the same SQL as every cell would be, and knows it from then on. */
export class CellReadings {
  private readonly meanings: readonly Meaning[];
  private readonly known = new Map<number, number>(); // how many words of a column

  constructor(readonly all: readonly CellReading[]) {
    this.meanings = all.map(() => ({ values: new Float64Array(mostWords).fill(NaN), unsound: { words: 0, is: new Uint8Array(mostWords) }, texts: new CellDictionary(Infinity), memory: new ColumnMemory() }));
  }

  /** Reads the words that are new. */
  async learn(database: LoadingDatabase, columns: ReadonlyMap<number, NumberedColumn>): Promise<void> {
    const of: number[] = [], numbers: number[] = [], cells: Uint8Array[] = [], wordsIn = passing('words_in');
    for (const [column, { words: { bytes, starts, ends }, places }] of columns) {
      if (places === null) continue;
      for (let word = this.known.get(column) ?? 0; word < starts.length; word++) {
        of.push(column);
        numbers.push(word);
        cells.push(bytes.subarray(starts[word], ends[word]));
      }
      this.known.set(column, starts.length);
    }
    const met = new Set(of), asked = this.all.flatMap((reading, i) => (met.has(reading.column) ? [readWords(wordsIn, reading, i)] : []));
    if (asked.length === 0) return;
    // All at once: an answer that is waited for comes after whatever was asked of the engine meanwhile.
    const [, found] = await Promise.all([
      database.createFrom('words_in', [numberColumn('column', 'INTEGER', of), numberColumn('word', 'INTEGER', numbers), { name: 'cell', type: 'VARCHAR', words: wordsOf(cells), places: Int32Array.from(cells, (_, i) => i) }]),
      database.query(sql(asked.join(' UNION ALL '))), database.query(sql(`DROP TABLE ${wordsIn}`)),
    ]);
    const texts = found.texts('text');
    const [reading, word, isSound, number] = ['reading', 'word', 'sound', 'number'].map((name) => found.numbers(name));
    for (let i = 0; i < found.rowCount; i++) {
      const meaning = this.meanings[reading![i]!]!, text = texts[i] ?? null;
      meaning.unsound.is[word![i]!] = 1 - isSound![i]!;
      meaning.unsound.words += 1 - isSound![i]!;
      meaning.values[word![i]!] = text === null ? number![i]! : numberOf(meaning.texts, text);
    }
  }

  /** The readings of which nothing is wrong with any of these cells, with their values, until they are asked for again; a code as its place in the list, from 1. */
  typed(columns: ReadonlyMap<number, NumberedColumn>, asked: readonly CellReading[]): ReadonlyMap<CellReading, NewColumn> {
    return new Map(asked.flatMap((reading) => {
      const column = columns.get(reading.column), meaning = this.meaningOf(reading);
      return column === undefined || column.places === null || meaning === undefined || hasUnsound(meaning, column.places) ? [] : [[reading, valuesOf(reading, meaning, column.places)] as const];
    }));
  }

  /**
   * The values of all asked fields as they are staged, by the names of the fields, until they are asked for again; null where something may be
   * wrong with a cell. A code is its text.
   * @param padded some cell may begin or end with white space
   */
  staged(columns: ReadonlyMap<number, NumberedColumn>, asked: readonly CellReading[], padded: boolean): readonly NewColumn[] | null {
    const staged: NewColumn[] = [];
    for (const reading of asked) {
      const column = columns.get(reading.column), meaning = this.meaningOf(reading), { field: { name, kind, list } } = reading;
      if (column === undefined || meaning === undefined) return null;
      const { words, places } = column;
      if (places === null ? padded || !standsForItself(reading, words) : hasUnsound(meaning, places)) return null;
      if (places === null) staged.push({ name, type: 'VARCHAR', words, places });
      else if (kind === 'code' && list !== null) staged.push({ name, type: 'VARCHAR', words: codesOf(list), places: numbersOf(meaning.values, places, meaning.memory, 1) });
      else staged.push({ ...valuesOf(reading, meaning, places), name });
    }
    return staged;
  }

  private meaningOf(reading: CellReading): Meaning | undefined {
    return this.meanings[this.all.indexOf(reading)];
  }
}

const encoder = new TextEncoder();
const codes = new Map<CodeListName, Words>();

/** The codes of a list, made once. */
function codesOf(list: CodeListName): Words {
  const known = codes.get(list) ?? wordsOf(codeLists[list].map(({ code }) => encoder.encode(code)));
  codes.set(list, known);
  return known;
}

/** A text of as many bytes has at most as many characters. */
function standsForItself({ field: { maxLength, required }, asItStands }: CellReading, { starts, ends }: Words): boolean {
  const shortest = required ? 1 : 0, longest = maxLength ?? Infinity;
  if (!asItStands) return false;
  for (let i = 0; i < starts.length; i++) {
    const length = ends[i]! - starts[i]!;
    if (length < shortest || length > longest) return false;
  }
  return true;
}

/** SQL for a value in the type of its field. */
export const typedSql = ({ field: { kind, list }, name }: CellReading): string => (kind === 'code' && list !== null ? codeAt(list, quoteName(name)) : quoteName(name));

function hasUnsound({ unsound }: Meaning, places: Int32Array): boolean {
  if (unsound.words === 0) return false;
  for (let i = 0; i < places.length; i++) if (places[i]! >= 0 && unsound.is[places[i]!] === 1) return true;
  return false;
}

function valuesOf({ field, name }: CellReading, { values, texts, memory }: Meaning, places: Int32Array): NewColumn {
  const type = numberTypes[field.kind];
  return type === null ? { name, type: 'VARCHAR', words: texts.words, places: numbersOf(values, places, memory, 0) } : numbersAt(name, type, values, places, memory);
}

/** The numbers of words from 0 on, −1 where nothing is recorded; `first`: that of the first one. */
function numbersOf(values: Float64Array, places: Int32Array, memory: ColumnMemory, first: number): Int32Array {
  const numbers = memory.numbers('INTEGER', places.length);
  for (let i = 0; i < places.length; i++) {
    const number = places[i]! < 0 ? NaN : values[places[i]!]!;
    numbers[i] = number !== number ? -1 : number - first;
  }
  return numbers;
}

const numberTypes: Record<TypedField['kind'], NumberType | null> = { date: 'DATE', integer: 'INTEGER', number: 'DOUBLE', code: 'UTINYINT', codes: null, model: null, text: null };

function readWords(words: string, { field, column, recorded, text }: CellReading, reading: number): string {
  const { parsed, value, isSound } = cellReading(field), type = numberTypes[field.kind];
  const number = type === 'DATE' ? `${value} - DATE '1970-01-01'` : type === 'UTINYINT' ? `enum_code(${value})::INTEGER + 1` : value;
  return `SELECT ${reading}::INTEGER AS reading, word, (recorded IS NULL OR ${isSound})::UTINYINT AS sound,
      (${type === null ? 'NULL' : number})::DOUBLE AS number, (${type === null ? value : 'NULL'})::VARCHAR AS text
    FROM (SELECT *, ${parsed} FROM (SELECT word, recorded, ${text('recorded')} AS v_${field.name} FROM (SELECT word, ${recorded('cell')} AS recorded FROM ${words} WHERE "column" = ${column})))`;
}

function numberOf(texts: CellDictionary, text: string): number {
  const number = new Int32Array(1);
  if (texts.number(packed(wordsOf([encoder.encode(text)])), 0, 1, number, 0) === 0) throw new Error('a column has more texts than cells');
  return number[0]!;
}
