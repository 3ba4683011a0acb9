import type { Cells, Design, NotEstimable } from '../cells';
import { clusterCount, clusterCrossProducts } from '../clusterCrossProducts';
import { cox, fitCox, waldTest, type ChiSquareTest, type CoxFit } from '../cox/cox';
import { coxModel, type CoxModel } from '../cox/coxModel';
import { scoreResiduals } from '../cox/residuals';
import { withoutSpread } from '../cox/robust';

export interface WeightedCoxFit {
  readonly status: 'ok';
  /** Procedures and events are counted without weights. Its own covariance and tests take weights for counts: use those below. */
  readonly fit: CoxFit;
  /** Columns × columns; NaN in rows and columns that are not estimable. For `hazardRatios(fit, { covariance })`. */
  readonly covariance: Float64Array;
  readonly clusters: number;
  readonly wald: ChiSquareTest | NotEstimable;
}

/**
 * Proportional hazards where each procedure of cell i counts `weight[i]` times, with covariance by the infinitesimal jackknife over clusters,
 * weights taken as known. Ties by Breslow's rule, which weights leave without ambiguity.
 * Binder 1992, Biometrika 79:139; Lin & Wei 1989, J Am Stat Assoc 84:1074.
 */
export function weightedCox(cells: Cells, weight: Float64Array, design: Design): WeightedCoxFit | NotEstimable {
  const unweighted = cox(cells, design, { ties: 'breslow' }); // says in whole procedures what has no estimate, which weights don't change
  if (unweighted.status !== 'ok') return unweighted;
  const clusters = clusterCount(cells);
  if (clusters < 2) return { status: 'notEstimable', reason: 'all procedures belong to one cluster' };
  const weighted = fitCox(weightedModel(coxModel(cells, design, 'breslow'), weight));
  if (weighted.status !== 'ok') return weighted;
  const fit = { ...weighted, procedures: unweighted.procedures, events: unweighted.events, notEstimable: unweighted.notEstimable, notes: unweighted.notes };
  const covariance = robust(fit, cells, weight), balanced = withoutSpread(fit, covariance);
  if (balanced) return balanced;
  return { status: 'ok', fit, covariance, clusters, wald: waldTest(fit.coefficient, covariance) };
}

function weightedModel(model: CoxModel, weight: Float64Array): CoxModel {
  const { cells, sets, columns, design: { pattern }, x } = model;
  const count = cells.count.map((n, i) => n * weight[i]!);
  const events = new Float64Array(sets.events.length), eventX = new Float64Array(model.eventX.length);
  count.forEach((n, i) => {
    if (cells.event[i] !== 1) return;
    const k = sets.last[i]!;
    events[k]! += n;
    for (let j = 0; j < columns; ++j) eventX[k * columns + j]! += n * x[pattern[i]! * columns + j]!;
  });
  return { ...model, cells: { ...cells, count }, sets: { ...sets, events }, eventX };
}

function robust({ state, maximum, notEstimable }: CoxFit, cells: Cells, weight: Float64Array): Float64Array {
  const { columns, scale } = state.model, naive = maximum.covariance, residuals = scoreResiduals(state);
  const influence = new Float64Array(residuals.length);
  weight.forEach((w, i) => {
    for (let j = 0; j < columns; ++j) {
      let d = 0;
      for (let m = 0; m < columns; ++m) d += residuals[i * columns + m]! * naive[m * columns + j]!;
      influence[i * columns + j] = (w * d) / scale[j]!;
    }
  });
  return clusterCrossProducts(influence, cells, columns).map((v, k) => (notEstimable[Math.floor(k / columns)] || notEstimable[k % columns] ? NaN : v));
}
