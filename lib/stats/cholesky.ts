/** A symmetric matrix A = L D L′ of order n, row-major, with columns left out whose pivot vanished. */
export interface Cholesky {
  readonly order: number;
  /** Unit lower triangle. */
  readonly lower: Float64Array;
  /** Pivots; 0: left out, since the column is a combination of earlier ones (to the tolerance). */
  readonly pivot: Float64Array;
  readonly rank: number;
}

/** A pivot below its column's tolerance is taken for 0, and its column left out of every solution. */
export function cholesky(matrix: Float64Array, order: number, tolerance: (column: number) => number): Cholesky {
  const lower = new Float64Array(order * order), pivot = new Float64Array(order);
  let rank = 0;
  for (let j = 0; j < order; ++j) {
    let d = matrix[j * order + j]!;
    for (let k = 0; k < j; ++k) d -= lower[j * order + k]! ** 2 * pivot[k]!;
    lower[j * order + j] = 1;
    if (!(d > tolerance(j))) continue;
    pivot[j] = d;
    ++rank;
    for (let i = j + 1; i < order; ++i) {
      let a = matrix[i * order + j]!;
      for (let k = 0; k < j; ++k) a -= lower[i * order + k]! * lower[j * order + k]! * pivot[k]!;
      lower[i * order + j] = a / d;
    }
  }
  return { order, lower, pivot, rank };
}

/** Pivots below this part of their column's diagonal are rounding: the column is collinear with earlier ones. */
export const relativeTolerance = (matrix: Float64Array, order: number, part = 1e-11) => (j: number): number => part * Math.abs(matrix[j * order + j]!);

/** x with A x = b on the columns kept, 0 on the others. */
export function solve({ order, lower, pivot }: Cholesky, b: Float64Array): Float64Array {
  const x = b.slice();
  for (let i = 0; i < order; ++i) {
    if (pivot[i] === 0) x[i] = 0;
    else for (let k = 0; k < i; ++k) x[i]! -= lower[i * order + k]! * x[k]!;
  }
  for (let i = 0; i < order; ++i) if (pivot[i]! > 0) x[i]! /= pivot[i]!;
  for (let i = order - 1; i >= 0; --i) {
    if (pivot[i] === 0) continue;
    for (let k = i + 1; k < order; ++k) if (pivot[k]! > 0) x[i]! -= lower[k * order + i]! * x[k]!;
  }
  return x;
}

/** The inverse on the columns kept; rows and columns left out are 0. */
export function inverse(factor: Cholesky): Float64Array {
  const { order } = factor, result = new Float64Array(order * order);
  for (let j = 0; j < order; ++j) {
    if (factor.pivot[j] === 0) continue;
    const unit = new Float64Array(order);
    unit[j] = 1;
    const column = solve(factor, unit);
    for (let i = 0; i < order; ++i) result[i * order + j] = column[i]!;
  }
  return result;
}

/** b′ A⁻¹ b on the columns kept. */
export function quadraticForm(factor: Cholesky, b: Float64Array): number {
  const x = solve(factor, b);
  return x.reduce((sum, v, i) => sum + v * b[i]!, 0);
}

/** The combination v of columns with A v ≈ 0 that makes the pivot of `column` vanish: v is 1 there and 0 after it. */
export function nullVector({ order, lower, pivot }: Cholesky, column: number): Float64Array {
  const v = new Float64Array(order);
  v[column] = 1;
  for (let i = column - 1; i >= 0; --i) {
    if (pivot[i] === 0) continue;
    let sum = lower[column * order + i]!;
    for (let k = i + 1; k < column; ++k) if (pivot[k]! > 0) sum += lower[k * order + i]! * v[k]!;
    v[i] = -sum;
  }
  return v;
}
