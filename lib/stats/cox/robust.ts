import type { Cells, NotEstimable } from '../cells';
import { clusterCount, clusterCrossProducts, type ClusterMembers } from '../clusterCrossProducts';
import { distinctTimes } from '../distinctTimes';
import { product } from '../product';
import { floatsUsedAgain } from '../usedAgain';
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
const rounding = 1e-12; // as a part of the model's own variance
const residualsAgain = floatsUsedAgain();

/** Whose score residuals are summed, where it is not simply the procedures of the fit's cells. */
export interface Contributors {
  /** Per piece of follow-up that was split: equal numbers are the same procedures, and their pieces have equal counts. */
  readonly origin?: Int32Array;
  /** Per cell of the fit: an earlier one that its procedures were in before; -1: none. Then `members` are in the last ones of theirs. */
  readonly before?: Int32Array;
  /** Those that were joined to the fit's cells, `row` being which. */
  readonly members?: ClusterMembers;
}

/**
 * Covariance that allows for dependence within clusters: the sum over clusters of D′D, D the cluster's sum of score residuals times the
 * model-based covariance. A cell of cluster −1 adds each of its procedures on its own.
 * Lin & Wei 1989, J Am Stat Assoc 84:1074.
 */
export function robustCovariance(fit: CoxFit, { origin, before, members }: Contributors = {}): RobustCovariance | NotEstimable {
  const { state, maximum: { covariance: naive }, notEstimable } = fit, { cells, columns, scale } = state.model;
  const ofCells = scoreResiduals(state, residualsAgain(cells.exit.length * columns)), rows = origin === undefined ? null : distinctTimes(Float64Array.from(origin)).place;
  if (before) addThoseBefore(ofCells, columns, before);
  const residuals = rows ? summed(ofCells, columns, rows) : ofCells;
  const who = members ?? (rows ? ofOrigins(cells, rows) : cells);
  const clusters = clusterCount(who);
  if (clusters < 2) return { status: 'notEstimable', reason: 'all procedures belong to one cluster' };
  const spread = clusterCrossProducts(residuals, who, columns);
  const covariance = product(product(naive, spread, columns), naive, columns).map((v, k) => {
    const i = Math.floor(k / columns), j = k % columns;
    return notEstimable[i] === null && notEstimable[j] === null ? v / (scale[i]! * scale[j]!) : NaN;
  });
  const balanced = withoutSpread(fit, covariance);
  if (balanced) return balanced;
  const notes = clusters < fewClusters ? [`only ${clusters} clusters (fewer than ${fewClusters}): robust limits tend to be too narrow`] : [];
  return { status: 'ok', covariance, clusters, wald: waldTest(fit.coefficient, covariance), notes };
}

/** Where what every cluster adds to a coefficient comes to nothing, as when all at risk are revised at once: limits by such a covariance would have no width. */
export function withoutSpread({ names, notEstimable, covariance: ofModel }: Pick<CoxFit, 'names' | 'notEstimable' | 'covariance'>, covariance: Float64Array): NotEstimable | null {
  const variances = (j: number): number => j * (names.length + 1);
  const name = names.find((_, j) => !notEstimable[j] && !(covariance[variances(j)]! > rounding * ofModel[variances(j)]!));
  return name === undefined ? null : { status: 'notEstimable', reason: `what procedures and clusters add to the ratio of ${name} cancels out, which leaves no spread to go by` };
}

const sizeOf = (rows: Int32Array): number => rows.reduce((most, row) => Math.max(most, row + 1), 0);

/** The residuals of the pieces of each origin, summed; origins × columns. */
function summed(ofCells: Float64Array, columns: number, origin: Int32Array): Float64Array {
  const residuals = new Float64Array(sizeOf(origin) * columns);
  for (let i = 0; i < origin.length; ++i) for (let j = 0; j < columns; ++j) residuals[origin[i]! * columns + j]! += ofCells[i * columns + j]!;
  return residuals;
}

function addThoseBefore(residuals: Float64Array, columns: number, before: Int32Array): void {
  for (let i = 0; i < before.length; ++i) {
    if (before[i]! < 0) continue;
    for (let j = 0; j < columns; ++j) residuals[i * columns + j]! += residuals[before[i]! * columns + j]!;
  }
}

function ofOrigins({ count, cluster }: Cells, origin: Int32Array): ClusterMembers {
  const counts = new Float64Array(sizeOf(origin)), clusters = new Int32Array(counts.length).fill(-1);
  for (let i = 0; i < origin.length; ++i) {
    counts[origin[i]!] = count[i]!;
    if (cluster) clusters[origin[i]!] = cluster[i]!;
  }
  return { count: counts, cluster: clusters };
}
