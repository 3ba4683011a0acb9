import { waldTest, type ChiSquareTest, type CoxFit } from './cox';
import type { NotEstimable } from '../cells';
import { scoreResiduals } from './residuals';

export interface RobustCovariance {
  readonly status: 'ok';
  /** Columns × columns, on the scale of the design; NaN in rows and columns that are not estimable. */
  readonly covariance: Float64Array;
  /** Clusters with a member in the fit. */
  readonly clusters: number;
  /** Of all estimable coefficients. */
  readonly wald: ChiSquareTest | NotEstimable;
  readonly notes: readonly string[];
}

const fewClusters = 30;

/**
 * Covariance that allows for dependence within clusters: the sum over clusters of D′D, D the cluster's sum of score residuals times the
 * model-based covariance. A cell of cluster −1 adds each of its procedures on its own.
 * `origin` (an entry per cell) joins the pieces of procedures whose follow-up was split: equal numbers are the same procedures, and their
 * cells have equal counts.
 * Lin & Wei 1989, J Am Stat Assoc 84:1074.
 */
export function robustCovariance(fit: CoxFit, origin?: Int32Array): RobustCovariance | NotEstimable {
  const { state, maximum: { covariance: naive }, notEstimable } = fit, { cells, columns, scale } = state.model;
  const { sums, clusters } = clusterSums(scoreResiduals(state), cells, columns, origin);
  if (clusters < 2) return { status: 'notEstimable', reason: 'all procedures belong to one cluster' };
  const influence = new Float64Array(columns), covariance = new Float64Array(columns * columns);
  for (const { total, times } of sums.values()) {
    for (let j = 0; j < columns; ++j) {
      let d = 0;
      for (let i = 0; i < columns; ++i) d += total[i]! * naive[i * columns + j]!;
      influence[j] = d;
    }
    for (let i = 0; i < columns; ++i) for (let j = 0; j < columns; ++j) covariance[i * columns + j]! += times * influence[i]! * influence[j]!;
  }
  for (let i = 0; i < columns; ++i) {
    for (let j = 0; j < columns; ++j) {
      const known = notEstimable[i] === null && notEstimable[j] === null;
      covariance[i * columns + j] = known ? covariance[i * columns + j]! / (scale[i]! * scale[j]!) : NaN;
    }
  }
  const notes = clusters < fewClusters ? [`only ${clusters} clusters (fewer than ${fewClusters}): robust limits tend to be too narrow`] : [];
  return { status: 'ok', covariance, clusters, wald: waldTest(fit.coefficient, covariance), notes };
}

interface ClusterSum { readonly total: Float64Array; readonly times: number }

/** Score residuals summed by cluster; `times`: how many clusters have this very sum. */
function clusterSums(residuals: Float64Array, cells: CoxFit['state']['model']['cells'], columns: number, origin?: Int32Array) {
  const shared = new Map<number, ClusterSum>(), single = new Map<number, ClusterSum>();
  for (let i = 0; i < cells.exit.length; ++i) {
    const cluster = cells.cluster?.[i] ?? -1, count = cells.count[i]!, own = cluster < 0;
    const group = own ? single : shared, key = own ? (origin?.[i] ?? i) : cluster;
    let sum = group.get(key);
    if (!sum) group.set(key, (sum = { total: new Float64Array(columns), times: own ? count : 1 }));
    const weight = own ? 1 : count;
    for (let j = 0; j < columns; ++j) sum.total[j]! += weight * residuals[i * columns + j]!;
  }
  const sums = [...shared.values(), ...single.values()];
  return { sums, clusters: sums.reduce((n, s) => n + s.times, 0) };
}
