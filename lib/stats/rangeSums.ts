// A binary tree over the sets (Bentley 1977, Algorithms for Klee's rectangle problems): node i has the children 2i and 2i + 1, set k is leaf size + k.
// Ranges are made up of whole nodes by additions alone. Differences of running sums would be cheaper, but lose small terms beside large ones.

/** For sums of `values` over ranges. */
export function rangeTree(values: Float64Array): Float64Array {
  const size = values.length, tree = new Float64Array(2 * size);
  tree.set(values, size);
  for (let i = size - 1; i > 0; --i) tree[i] = tree[2 * i]! + tree[2 * i + 1]!;
  return tree;
}

/** Σ values[first … last]. */
export function rangeSum(tree: Float64Array, first: number, last: number): number {
  const size = tree.length / 2;
  let sum = 0;
  for (let l = first + size, r = last + size + 1; l < r; l >>= 1, r >>= 1) {
    if (l & 1) sum += tree[l++]!;
    if (r & 1) sum += tree[--r]!;
  }
  return sum;
}

/** Adds the vector to each of the sets first … last of a tree of `size` sets, rows of the vector's length; read by `spread`. */
export function addToRange(tree: Float64Array, size: number, first: number, last: number, vector: Float64Array): void {
  for (let l = first + size, r = last + size + 1; l < r; l >>= 1, r >>= 1) {
    if (l & 1) addTo(l++);
    if (r & 1) addTo(--r);
  }
  function addTo(node: number): void {
    const at = node * vector.length;
    for (let j = 0; j < vector.length; ++j) tree[at + j]! += vector[j]!;
  }
}

/** What was added to each set, sets × width. */
export function spread(tree: Float64Array, size: number, width: number): Float64Array {
  for (let node = 2; node < 2 * size; ++node) {
    const at = node * width, parent = (node >> 1) * width;
    for (let j = 0; j < width; ++j) tree[at + j]! += tree[parent + j]!;
  }
  return tree.subarray(size * width);
}
