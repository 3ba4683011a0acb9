import { cholesky } from './cholesky';

/** A direction v with A v = μ B v, scaled so that v′ B v = 1. */
export interface Direction { readonly value: number; readonly vector: Float64Array }

/** All directions of symmetric A against positive definite B, both of order n and row-major. */
export function generalisedEigen(a: Float64Array, b: Float64Array, order: number): Direction[] {
  const { lower, pivot } = cholesky(b, order, () => 0);
  const root = pivot.map(Math.sqrt);
  // with B = G G′ the symmetric G⁻¹ A G⁻ᵀ has the values μ, and vectors G′ v
  const matrix = forward(forward(a.slice(), true), false);
  const vectors = diagonalise(matrix, order);
  return Array.from({ length: order }, (_, k) => {
    const vector = Float64Array.from({ length: order }, (_, i) => vectors[i * order + k]! / root[i]!);
    for (let i = order - 1; i >= 0; --i) for (let j = i + 1; j < order; ++j) vector[i]! -= lower[j * order + i]! * vector[j]!;
    return { value: matrix[k * order + k]!, vector };
  });

  /** G⁻¹ applied to the columns, or to the rows. */
  function forward(m: Float64Array, columns: boolean): Float64Array {
    const at = (i: number, k: number): number => (columns ? i * order + k : k * order + i);
    for (let k = 0; k < order; ++k) {
      for (let i = 0; i < order; ++i) for (let j = 0; j < i; ++j) m[at(i, k)]! -= lower[i * order + j]! * m[at(j, k)]!;
      for (let i = 0; i < order; ++i) m[at(i, k)]! /= root[i]!;
    }
    return m;
  }
}

/** Jacobi's method: leaves the eigenvalues on the diagonal of the matrix and returns the eigenvectors as columns. Golub & Van Loan 2013, §8.5. */
function diagonalise(matrix: Float64Array, order: number): Float64Array {
  const vectors = new Float64Array(order * order);
  for (let i = 0; i < order; ++i) vectors[i * order + i] = 1;
  for (let sweep = 0, rotated = true; rotated && sweep < 50; ++sweep) {
    rotated = false;
    for (let p = 0; p < order; ++p) {
      for (let q = p + 1; q < order; ++q) {
        const a = matrix[p * order + q]!, app = matrix[p * order + p]!, aqq = matrix[q * order + q]!;
        if (Math.abs(a) <= 1e-17 * (Math.abs(app) + Math.abs(aqq))) continue;
        rotated = true;
        const tau = (aqq - app) / (2 * a), t = (tau < 0 ? -1 : 1) / (Math.abs(tau) + Math.hypot(1, tau));
        const c = 1 / Math.hypot(1, t), s = c * t;
        for (let k = 0; k < order; ++k) rotate(matrix, k * order + p, k * order + q, c, s);
        for (let k = 0; k < order; ++k) rotate(matrix, p * order + k, q * order + k, c, s);
        for (let k = 0; k < order; ++k) rotate(vectors, k * order + p, k * order + q, c, s);
      }
    }
  }
  return vectors;
}

function rotate(m: Float64Array, i: number, j: number, c: number, s: number): void {
  const a = m[i]!, b = m[j]!;
  m[i] = c * a - s * b;
  m[j] = s * a + c * b;
}
