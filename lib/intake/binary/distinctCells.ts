import type { DistinctCells, DistinctRows, RowTable } from './rowTable';
import { AddedWords } from './words';

const rowsAtOnce = 100_000; // bounds the memory of their texts
const encoder = new TextEncoder();

const mostKnown = 65_536; // values; where there are more, nearly each is another
const unmet = -2;

/** Makes cells of the values of a column, piece by piece: each distinct one is made text once. */
export function distinctCells(textOf: (value: unknown) => string | null): (parts: readonly ArrayLike<unknown>[]) => DistinctCells {
  let words = new AddedWords(), met = new Map<unknown, number>();
  const metNumbers = new Int32Array(mostKnown).fill(unmet); // of most numbers and days: an array is faster than a map
  const placeOf = (value: unknown): number => {
    const text = textOf(value);
    return text === null ? -1 : words.add(encoder.encode(text));
  };
  return (parts) => {
    if (words.count > mostKnown) {
      [words, met] = [new AddedWords(), new Map<unknown, number>()];
      metNumbers.fill(unmet);
    }
    const before = words.count, places = new Int32Array(parts.reduce((sum, { length }) => sum + length, 0));
    let at = 0;
    for (const part of parts) {
      for (let i = 0; i < part.length; i++, at++) {
        const value = part[i], key = value instanceof Date ? value.getTime() : value;
        if (typeof key === 'number' && key >= 0 && key < mostKnown && Math.floor(key) === key) {
          if (metNumbers[key] === unmet) metNumbers[key] = placeOf(value);
          places[at] = metNumbers[key]!;
          continue;
        }
        let place = met.get(key);
        if (place === undefined) met.set(key, place = placeOf(value));
        places[at] = place;
      }
    }
    return { texts: words.words, before, places };
  };
}

/** The cells of a table that gives every one as text. */
export async function* distinctTexts(table: RowTable, columns: readonly string[], signal: AbortSignal): AsyncGenerator<DistinctRows, void> {
  const cellsOf = columns.map(() => distinctCells((value) => (typeof value === 'string' ? value : null)));
  for (let from = 0; from < table.rows; from += rowsAtOnce) {
    const to = Math.min(from + rowsAtOnce, table.rows), parts: (readonly (string | null)[])[][] = columns.map(() => []);
    await table.read(columns, from, to, (piece) => { for (const [i, cells] of piece.entries()) parts[i]?.push(cells); }, signal);
    yield { rows: to - from, cells: parts.map((each, i) => cellsOf[i]!(each)) };
  }
}
