import { cholesky, inverse, relativeTolerance } from '../cholesky';
import { clusterCrossProducts } from '../clusterCrossProducts';
import { product } from '../product';
import { survivalLimits } from '../survivalLimits';
import type { Turnbull } from './turnbull';

/** The share with the event by the end of an interval, 0–1; NaN: no limit. */
export interface ShareBy { readonly from: number; readonly to: number; readonly share: number; readonly lower: number; readonly upper: number }

/**
 * Cumulative share at the end of every interval that holds mass, with limits on the log(−log(1 − F)) scale. The variance comes from the observed
 * information of the masses above 0, with the scores of a cluster's members summed (a sandwich); masses at 0 are held there, so that limits are those
 * given which intervals hold mass, as if the visits were few and fixed. `count` and `cluster` (−1: each alone) per cell of the estimate;
 * cells may be repeated for clusters.
 */
export function turnbullLimits(fit: Turnbull, count: Float64Array, confidence: number, cluster?: Int32Array): readonly ShareBy[] {
  const size = fit.mass.length, held = Array.from(fit.mass.keys()).filter((j) => fit.mass[j]! > 0), order = held.length - 1, last = held.at(-1)!;
  const n = count.reduce((sum, k) => sum + k, 0), scores = new Float64Array(count.length * Math.max(order, 1)), information = new Float64Array(order * order);
  for (let i = 0; i < count.length; ++i) {
    let p = 0;
    for (const j of held) if (fit.covers[i * size + j] === 1) p += fit.mass[j]!;
    const at = (j: number): number => fit.covers[i * size + j]! / p;
    for (let a = 0; a < order; ++a) scores[i * order + a] = at(held[a]!) - at(last);
    for (let a = 0; a < order; ++a) for (let b = 0; b < order; ++b) information[a * order + b]! += count[i]! * scores[i * order + a]! * scores[i * order + b]!;
  }
  const factor = cholesky(information, order, relativeTolerance(information, order)), known = factor.rank === order;
  const bread = inverse(factor), meat = order === 0 ? new Float64Array(0) : clusterCrossProducts(scores, { count, ...(cluster && { cluster }) }, order);
  const covariance = product(product(bread, meat, order), bread, order);
  let share = 0, variance = 0;
  return held.filter((j) => fit.to[j]! < Infinity).map((j, k) => {
    share += fit.mass[j]!;
    variance = 0;
    for (let a = 0; a <= Math.min(k, order - 1); ++a) for (let b = 0; b <= Math.min(k, order - 1); ++b) variance += covariance[a * order + b]!;
    const survival = 1 - share;
    const { lower, upper } = known && survival > 1e-12 ? survivalLimits(survival, variance / survival ** 2, n, confidence, 'log-log') : { lower: NaN, upper: NaN };
    return { from: fit.from[j]!, to: fit.to[j]!, share, lower: 1 - upper, upper: 1 - lower };
  });
}
