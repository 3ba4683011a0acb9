import type { DistinctCells, DistinctRows, RowTable } from './rowTable';

const rowsAtOnce = 100_000; // bounds the memory of their texts
const encoder = new TextEncoder();

const mostKnown = 65_536; // values; where there are more, nearly each is another

/** Makes cells of the values of a column, piece by piece: each distinct one is made text once. */
export function distinctCells(textOf: (value: unknown) => string | null): (parts: readonly ArrayLike<unknown>[]) => DistinctCells {
  const known = new Map<unknown, Uint8Array | null>();
  const cellOf = (key: unknown, value: unknown): Uint8Array | null => {
    let cell = known.get(key);
    if (cell === undefined) {
      const text = textOf(value);
      cell = text === null ? null : encoder.encode(text);
      if (known.size < mostKnown) known.set(key, cell);
    }
    return cell;
  };
  return (parts) => {
    const texts: Uint8Array[] = [], met = new Map<unknown, number>(), places = new Int32Array(parts.reduce((sum, { length }) => sum + length, 0));
    let at = 0;
    for (const part of parts) {
      for (let i = 0; i < part.length; i++, at++) {
        const value = part[i], key = value instanceof Date ? value.getTime() : value;
        let place = met.get(key);
        if (place === undefined) {
          const cell = cellOf(key, value);
          place = cell === null ? -1 : texts.push(cell) - 1;
          met.set(key, place);
        }
        places[at] = place;
      }
    }
    return { texts, places };
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
