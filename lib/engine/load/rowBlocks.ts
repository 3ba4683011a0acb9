export const rowsAtOnce = 4 * 122_880; // whole groups of rows of the engine: one that grows is compressed again

/** Part of the rows of a table. */
export interface Block {
  /** SQL: a row is of it. */
  readonly where: string;
  /** Of all rows, up to its end; 0–1. */
  readonly done: number;
}

export const allRows: Block = { where: 'true', done: 1 };

/** Rows by a number that they have, from 0 to below `rows`, in blocks that bound the memory that work on one of them needs; one block where there are none. */
export function blocksOf(column: string, rows: number): readonly Block[] {
  return Array.from({ length: Math.max(1, Math.ceil(rows / rowsAtOnce)) }, (_, i) => {
    const from = i * rowsAtOnce, end = from + rowsAtOnce;
    return { where: `${column} BETWEEN ${from} AND ${end - 1}`, done: Math.min(1, end / rows) };
  });
}
