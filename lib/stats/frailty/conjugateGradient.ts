/** x with A x = b for a positive definite A known by its products, `precondition` being a rough inverse. Hestenes & Stiefel 1952, J Res NBS 49:409. */
export function conjugateGradient(
  product: (v: Float64Array) => Float64Array, b: Float64Array, precondition: (v: Float64Array) => Float64Array, tolerance: number,
): Float64Array {
  const x = new Float64Array(b.length), residual = b.slice();
  let z = precondition(residual), direction = z.slice(), rz = dot(residual, z);
  const enough = tolerance * tolerance * rz;
  for (let k = 0; k < 1000 && rz > enough; ++k) {
    const image = product(direction), step = rz / dot(direction, image);
    for (let i = 0; i < x.length; ++i) {
      x[i]! += step * direction[i]!;
      residual[i]! -= step * image[i]!;
    }
    z = precondition(residual);
    const next = dot(residual, z), ratio = next / rz;
    rz = next;
    direction = direction.map((v, i) => z[i]! + ratio * v);
  }
  return x;
}

export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; ++i) sum += a[i]! * b[i]!;
  return sum;
}
