/** Rows for imputation: cells with a missing value one row per procedure, since each is drawn by itself; the others as they are. */
export interface Rows {
  /** The cell of each row. */
  readonly origin: Int32Array;
  readonly count: Float64Array;
}

export function singleProcedures(count: Float64Array, lacks: (cell: number) => boolean): Rows {
  const origin: number[] = [], counts: number[] = [];
  count.forEach((n, i) => {
    const rows = lacks(i) ? n : 1;
    for (let k = 0; k < rows; ++k) {
      origin.push(i);
      counts.push(n / rows);
    }
  });
  return { origin: Int32Array.from(origin), count: Float64Array.from(counts) };
}
