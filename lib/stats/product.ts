/** The product of two matrices of order n, row-major. */
export function product(a: Float64Array, b: Float64Array, order: number): Float64Array {
  const result = new Float64Array(order * order);
  for (let i = 0; i < order; ++i) {
    for (let k = 0; k < order; ++k) for (let j = 0; j < order; ++j) result[i * order + j]! += a[i * order + k]! * b[k * order + j]!;
  }
  return result;
}
