// A binary tree over the sets (Bentley 1977, Algorithms for Klee's rectangle problems): node i has the children 2i and 2i + 1, set k is leaf size + k.
// Ranges are made up of whole nodes by additions alone. Differences of running sums would be cheaper, but lose small terms beside large ones.

/** For sums over ranges of the vectors of `width` numbers that each set has in `values`. */
export function rangeTree(values: Float64Array, width = 1): Float64Array {
  const size = values.length / width, tree = new Float64Array(2 * values.length);
  tree.set(values, values.length);
  for (let i = size - 1; i > 0; --i) {
    for (let j = 0; j < width; ++j) tree[i * width + j] = tree[2 * i * width + j]! + tree[(2 * i + 1) * width + j]!;
  }
  return tree;
}

/** Adds up the vectors of the sets first … last into `sum`, whose length is the tree's width. */
export function rangeSum(tree: Float64Array, first: number, last: number, sum: Float64Array): Float64Array {
  const width = sum.length, size = tree.length / (2 * width);
  sum.fill(0);
  for (let l = first + size, r = last + size + 1; l < r; l >>= 1, r >>= 1) {
    if (l & 1) add(l++);
    if (r & 1) add(--r);
  }
  return sum;
  function add(node: number): void {
    for (let j = 0, at = node * width; j < width; ++j) sum[j]! += tree[at + j]!;
  }
}
