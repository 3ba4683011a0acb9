import { distinctTimes } from './distinctTimes';

/** Procedures by cell and cluster. Those of cluster −1, or without clusters, are clusters of their own. */
export interface ClusterMembers {
  readonly count: Float64Array;
  readonly cluster?: Int32Array;
  /** Per entry: the row of what one of its procedures contributes; default: a row per entry. */
  readonly row?: Int32Array;
}

/**
 * Σ over clusters of v v′, v the sum over the cluster's procedures of their contributions, `columns` each: the covariance of an estimate, if
 * these are the influences on it (the infinitesimal jackknife: Efron 1982, The Jackknife, the Bootstrap and Other Resampling Plans, ch. 6).
 * `contribution` (rows × columns) is that of one procedure.
 */
export function clusterCrossProducts(contribution: Float64Array, { count, cluster, row }: ClusterMembers, columns: number): Float64Array {
  const result = new Float64Array(columns * columns), alone = new Float64Array(contribution.length / columns), shared: number[] = [];
  for (let i = 0; i < count.length; ++i) {
    if (cluster === undefined || cluster[i]! < 0) alone[row ? row[i]! : i]! += count[i]!;
    else shared.push(i);
  }
  for (let r = 0; r < alone.length; ++r) if (alone[r]! > 0) addSquare(result, contribution, r * columns, columns, alone[r]!);

  const { place, time: clusters } = distinctTimes(Float64Array.from(shared, (i) => cluster![i]!)), sums = new Float64Array(clusters.length * columns);
  shared.forEach((i, at) => {
    const from = (row ? row[i]! : i) * columns, to = place[at]! * columns, n = count[i]!;
    for (let j = 0; j < columns; ++j) sums[to + j]! += n * contribution[from + j]!;
  });
  for (let c = 0; c < clusters.length; ++c) addSquare(result, sums, c * columns, columns, 1);
  for (let i = 0; i < columns; ++i) for (let j = 0; j < i; ++j) result[j * columns + i] = result[i * columns + j]!;
  return result;
}

/** How many clusters there are. */
export function clusterCount({ count, cluster }: ClusterMembers): number {
  const shared = new Set<number>();
  let own = 0;
  for (let i = 0; i < count.length; ++i) {
    if (cluster === undefined || cluster[i]! < 0) own += count[i]!;
    else shared.add(cluster[i]!);
  }
  return own + shared.size;
}

/** The lower triangle alone. */
function addSquare(result: Float64Array, v: Float64Array, from: number, columns: number, times: number): void {
  for (let i = 0; i < columns; ++i) {
    const own = times * v[from + i]!;
    if (own === 0) continue;
    for (let j = 0; j <= i; ++j) result[i * columns + j]! += own * v[from + j]!;
  }
}
