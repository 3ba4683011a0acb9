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
  const result = new Float64Array(columns * columns), alone = new Float64Array(contribution.length / columns);
  const { place, clusters } = numbered(cluster, count.length), sums = new Float64Array(clusters * columns);
  addMembers(sums, alone, contribution, columns, count, place, row ?? Int32Array.from(count.keys()));
  for (let r = 0; r < alone.length; ++r) if (alone[r]! > 0) addSquare(result, contribution, r * columns, columns, alone[r]!);
  for (let c = 0; c < clusters; ++c) addSquare(result, sums, c * columns, columns, 1);
  for (let i = 0; i < columns; ++i) for (let j = 0; j < i; ++j) result[j * columns + i] = result[i * columns + j]!;
  return result;
}

/** Adds what members contribute to the sums of their clusters, and the number of those that are clusters of their own to `alone`. */
function addMembers(sums: Float64Array, alone: Float64Array, contribution: Float64Array, columns: number, count: Float64Array, place: Int32Array, row: Int32Array): void {
  for (let i = 0; i < place.length; ++i) {
    const of = row[i]!, p = place[i]!, n = count[i]!;
    if (p < 0) alone[of]! += n;
    else for (let j = 0, from = of * columns, to = p * columns; j < columns; ++j) sums[to + j]! += n * contribution[from + j]!;
  }
}

/** How many clusters there are. */
export function clusterCount({ count, cluster }: ClusterMembers): number {
  const { place, clusters } = numbered(cluster, count.length);
  return clusters + procedures(count, place);
}

/** Of no cluster. */
function procedures(count: Float64Array, place: Int32Array): number {
  let own = 0;
  for (let i = 0; i < place.length; ++i) if (place[i]! < 0) own += count[i]!;
  return own;
}

/** Per entry: which of the clusters that occur it is in, from 0; -1: procedures by themselves. */
interface Numbered { readonly place: Int32Array; readonly clusters: number }
const known = new WeakMap<Int32Array, Numbered>();

/** Numbered once for all models of the same cells. */
function numbered(cluster: Int32Array | undefined, entries: number): Numbered {
  if (cluster === undefined) return { place: new Int32Array(entries).fill(-1), clusters: 0 };
  const before = known.get(cluster);
  if (before) return before;
  const numbers = new Float64Array(entries);
  for (let i = 0; i < entries; ++i) numbers[i] = cluster[i]! + 1;
  const { time, place } = distinctTimes(numbers), alone = time[0] === 0 ? 1 : 0;
  for (let i = 0; i < entries; ++i) place[i]! -= alone;
  const result = { place, clusters: time.length - alone };
  known.set(cluster, result);
  return result;
}

/** The lower triangle alone. */
function addSquare(result: Float64Array, v: Float64Array, from: number, columns: number, times: number): void {
  for (let i = 0; i < columns; ++i) {
    const own = times * v[from + i]!;
    if (own === 0) continue;
    for (let j = 0; j <= i; ++j) result[i * columns + j]! += own * v[from + j]!;
  }
}
