import type { Coded, Positions } from '../../engine/columns';

/** What each row of `followup` adds to its sum, by its position in a column. */
export interface Addend { readonly positions: Positions; readonly adds: Int32Array }

/** Added to a sum that it makes negative: the row is left out. Sums of others stay below 2^26, and up to 31 of these may meet. */
export const leftOut = -(2 ** 26);

export const addendOf = ({ positions, values, occurs }: Coded, add: (value: number) => number): Addend =>
  ({ positions, adds: Int32Array.from(values, (value, position) => (occurs[position] === 1 ? add(value) : 0)) });

export const rowsAtOnce = 4096; // so many sums stay in the fastest cache

/** Adds up for every row and hands the sums on in blocks, in the order of rows: sums[i] is that of row from + i. */
export function eachBlock(rows: number, addends: readonly Addend[], visit: (sums: Int32Array, from: number) => void): void {
  const asked = byColumn(addends), all = new Int32Array(rowsAtOnce);
  for (let from = 0; from < rows; from += rowsAtOnce) {
    const sums = all.subarray(0, Math.min(rowsAtOnce, rows - from));
    sums.fill(0);
    for (const { positions, adds } of asked) add(sums, positions, from, adds);
    visit(sums, from);
  }
}

/** One addend a column; a column that adds nothing to any row is not looked at. */
function byColumn(addends: readonly Addend[]): readonly Addend[] {
  const together = new Map<Positions, Int32Array>();
  for (const { positions, adds } of addends) {
    const others = together.get(positions);
    together.set(positions, others === undefined ? adds : adds.map((n, position) => n + others[position]!));
  }
  return [...together].map(([positions, adds]) => ({ positions, adds })).filter(({ adds }) => adds.some((n) => n !== 0));
}

// A loop for each width of column: the engine makes faster code of a loop that sees one kind of array.
function add(sums: Int32Array, positions: Positions, from: number, adds: Int32Array): void {
  if (positions instanceof Uint8Array) addBytes(sums, positions, from, adds);
  else if (positions instanceof Uint16Array) addWords(sums, positions, from, adds);
  else addIntegers(sums, positions, from, adds);
}

function addBytes(sums: Int32Array, positions: Uint8Array, from: number, adds: Int32Array): void {
  for (let i = 0; i < sums.length; ++i) sums[i]! += adds[positions[from + i]!]!;
}

function addWords(sums: Int32Array, positions: Uint16Array, from: number, adds: Int32Array): void {
  for (let i = 0; i < sums.length; ++i) sums[i]! += adds[positions[from + i]!]!;
}

function addIntegers(sums: Int32Array, positions: Int32Array, from: number, adds: Int32Array): void {
  for (let i = 0; i < sums.length; ++i) sums[i]! += adds[positions[from + i]!]!;
}
