import type { Cells, NotEstimable } from '../cells';
import { clusterCount, clusterCrossProducts } from '../clusterCrossProducts';
import { distinctTimes } from '../distinctTimes';
import { product } from '../product';
import { waldTest, type ChiSquareTest, type CoxFit } from './cox';
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
  const { residuals, members } = origin ? joined(scoreResiduals(state), cells, columns, origin) : { residuals: scoreResiduals(state), members: cells };
  const clusters = clusterCount(members);
  if (clusters < 2) return { status: 'notEstimable', reason: 'all procedures belong to one cluster' };
  const spread = clusterCrossProducts(residuals, members, columns);
  const covariance = product(product(naive, spread, columns), naive, columns).map((v, k) => {
    const i = Math.floor(k / columns), j = k % columns;
    return notEstimable[i] === null && notEstimable[j] === null ? v / (scale[i]! * scale[j]!) : NaN;
  });
  const notes = clusters < fewClusters ? [`only ${clusters} clusters (fewer than ${fewClusters}): robust limits tend to be too narrow`] : [];
  return { status: 'ok', covariance, clusters, wald: waldTest(fit.coefficient, covariance), notes };
}

/** The residuals of the pieces of each procedure, summed. */
function joined(pieces: Float64Array, { count, cluster }: Cells, columns: number, origin: Int32Array) {
  const { time: origins, place } = distinctTimes(Float64Array.from(origin)), size = origins.length;
  const residuals = new Float64Array(size * columns), counts = new Float64Array(size), clusters = new Int32Array(size).fill(-1);
  place.forEach((o, i) => {
    for (let j = 0; j < columns; ++j) residuals[o * columns + j]! += pieces[i * columns + j]!;
    counts[o] = count[i]!;
    if (cluster) clusters[o] = cluster[i]!;
  });
  return { residuals, members: { count: counts, cluster: clusters } };
}
