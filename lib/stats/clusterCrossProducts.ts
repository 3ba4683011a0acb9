import type { Cells } from './cells';

/**
 * Σ over clusters of v v′, v the sum over the cluster's procedures of their contributions, `columns` each: the covariance of an estimate, if
 * these are the influences on it (the infinitesimal jackknife: Efron 1982, The Jackknife, the Bootstrap and Other Resampling Plans, ch. 6).
 * `contribution` (cells × columns) is that of one procedure of each cell; procedures of a cell of cluster −1, or without clusters, are clusters
 * of their own.
 */
export function clusterCrossProducts(contribution: Float64Array, { count, cluster }: Pick<Cells, 'count' | 'cluster'>, columns: number): Float64Array {
  const result = new Float64Array(columns * columns), shared = new Map<number, Float64Array>();
  for (let i = 0; i < count.length; ++i) {
    const n = count[i]!, c = cluster?.[i] ?? -1, at = i * columns;
    if (c < 0) {
      addSquare(result, contribution, at, columns, n);
      continue;
    }
    let sum = shared.get(c);
    if (!sum) shared.set(c, (sum = new Float64Array(columns)));
    for (let j = 0; j < columns; ++j) sum[j]! += n * contribution[at + j]!;
  }
  for (const sum of shared.values()) addSquare(result, sum, 0, columns, 1);
  for (let i = 0; i < columns; ++i) for (let j = 0; j < i; ++j) result[j * columns + i] = result[i * columns + j]!;
  return result;
}

/** How many clusters there are. */
export function clusterCount({ count, cluster }: Pick<Cells, 'count' | 'cluster'>): number {
  const shared = new Set<number>();
  let own = 0;
  count.forEach((n, i) => {
    const c = cluster?.[i] ?? -1;
    if (c < 0) own += n;
    else shared.add(c);
  });
  return own + shared.size;
}

/** The lower triangle alone. */
function addSquare(result: Float64Array, v: Float64Array, from: number, columns: number, times: number): void {
  for (let i = 0; i < columns; ++i) {
    const own = times * v[from + i]!;
    for (let j = 0; j <= i; ++j) result[i * columns + j]! += own * v[from + j]!;
  }
}
