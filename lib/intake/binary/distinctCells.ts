import type { DistinctCells, DistinctRows, RowTable } from './rowTable';

const rowsAtOnce = 100_000; // bounds the memory of their texts
const encoder = new TextEncoder();

/** The cells of values: each distinct one is made text once. */
export function distinctCells(parts: readonly ArrayLike<unknown>[], textOf: (value: unknown) => string | null): DistinctCells {
  const texts: Uint8Array[] = [], known = new Map<unknown, number>(), places = new Int32Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    for (let i = 0; i < part.length; i++, at++) {
      const value = part[i], key = value instanceof Date ? value.getTime() : value;
      let place = known.get(key);
      if (place === undefined) {
        const text = textOf(value);
        place = text === null ? -1 : texts.push(encoder.encode(text)) - 1;
        known.set(key, place);
      }
      places[at] = place;
    }
  }
  return { texts, places };
}

/** The cells of a table that gives every one as text. */
export async function* distinctTexts(table: RowTable, columns: readonly string[], signal: AbortSignal): AsyncGenerator<DistinctRows, void> {
  for (let from = 0; from < table.rows; from += rowsAtOnce) {
    const to = Math.min(from + rowsAtOnce, table.rows), parts: (readonly (string | null)[])[][] = columns.map(() => []);
    await table.read(columns, from, to, (piece) => { for (const [i, cells] of piece.entries()) parts[i]?.push(cells); }, signal);
    yield { rows: to - from, cells: parts.map((each) => distinctCells(each, (value) => (typeof value === 'string' ? value : null))) };
  }
}
