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
  const usual = usualValues(x, columns), start = new Int32Array(patterns + 1), column = new Int32Array(x.length), value = new Float64Array(x.length);
  const length = takeDifferences(x, usual, start, column, value);
  return { start, column: column.slice(0, length), value: value.slice(0, length), usual };
}

function takeDifferences(x: Float64Array, usual: Float64Array, start: Int32Array, column: Int32Array, value: Float64Array): number {
  let length = 0;
  for (let p = 1, at = 0; p < start.length; ++p) {
    for (let j = 0; j < usual.length; ++j, ++at) {
      const difference = x[at]! - usual[j]!;
      if (difference === 0) continue;
      column[length] = j;
      value[length++] = difference;
    }
    start[p] = length;
  }
  return length;
}

/** The commoner value of each column that has two; else 0, its mean: differences from a far value would lose digits. */
function usualValues(x: Float64Array, columns: number): Float64Array {
  const one = x.slice(0, columns), other = one.slice(), majority = new Float64Array(columns); // of the one value over the other; NaN where there is a third
  countValues(x, one, other, majority);
  return majority.map((more, j) => (more >= 0 ? one[j]! : more < 0 ? other[j]! : 0));
}

function countValues(x: Float64Array, one: Float64Array, other: Float64Array, majority: Float64Array): void {
  for (let at = 0, j = 0; at < x.length; ++at, j = j + 1 === one.length ? 0 : j + 1) {
    const v = x[at]!, first = one[j]!;
    if (v !== first && other[j] === first) other[j] = v;
    majority[j]! += v === first ? 1 : v === other[j] ? -1 : NaN;
  }
}
