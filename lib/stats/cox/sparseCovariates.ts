import type { CoxModel } from './coxModel';

/** The covariates as differences from the usual value of their column, of which most are 0. */
export interface SparseCovariates {
  /** Those of pattern p are from `start[p]` to `start[p + 1]`. */
  readonly start: Int32Array;
  readonly column: Int32Array;
  readonly value: Float64Array;
  /** Per column. */
  readonly usual: Float64Array;
}

export function sparseCovariates({ x, columns, patterns }: CoxModel): SparseCovariates {
  const usual = Float64Array.from({ length: columns }, (_, j) => usualValue(x, j, columns));
  const start = new Int32Array(patterns + 1), column = new Int32Array(x.length), value = new Float64Array(x.length);
  let length = 0;
  for (let p = 0, at = 0; p < patterns; ++p) {
    for (let j = 0; j < columns; ++j, ++at) {
      const difference = x[at]! - usual[j]!;
      if (difference === 0) continue;
      column[length] = j;
      value[length++] = difference;
    }
    start[p + 1] = length;
  }
  return { start, column: column.slice(0, length), value: value.slice(0, length), usual };
}

/** The commoner value of a column that has two; else 0, its mean: differences from a far value would lose digits. */
function usualValue(x: Float64Array, j: number, columns: number): number {
  const one = x[j] ?? 0;
  let other = one, majority = 0; // of the one value over the other
  for (let at = j; at < x.length; at += columns) {
    const v = x[at]!;
    if (v === one) {
      majority += 1;
      continue;
    }
    if (other === one) other = v;
    if (v !== other) return 0;
    majority -= 1;
  }
  return majority >= 0 ? one : other;
}
