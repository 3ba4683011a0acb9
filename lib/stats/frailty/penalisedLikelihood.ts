import { tieSums } from '../cox/tieSums';
import type { FrailtyModel } from './frailtyModel';

/**
 * The partial likelihood with log frailties b as offsets, penalised by ν Σ (b − e^b), at one point: the log frailties, then the free
 * coefficients. Therneau, Grambsch & Pankratz 2003, J Comput Graph Stat 12:156.
 */
export interface PenalisedLikelihood {
  readonly at: Float64Array;
  readonly partial: number;
  readonly value: number;
  readonly gradient: Float64Array;
  /** Minus the second derivative, times a direction. */
  readonly curve: (direction: Float64Array) => Float64Array;
  /** Its diagonal over the log frailties, but for what clusters take from each other. */
  readonly diagonal: Float64Array;
}

export function penalisedLikelihood(model: FrailtyModel, precision: number, at: Float64Array): PenalisedLikelihood {
  const { cox: { state: { model: { sets: { events }, columns, patterns, x, ties: rule }, beta: coxBeta } }, clusters: { times }, free, kinds } = model;
  const { cluster, pattern, atRisk, withEvent, covariates } = kinds, q = times.length, size = cluster.length;
  const beta = coxBeta.slice();
  free.forEach((j, m) => { beta[j] = at[q + m]!; });
  const linear = new Float64Array(patterns), weight = new Float64Array(size);
  for (let p = 0; p < patterns; ++p) for (let j = 0; j < columns; ++j) linear[p]! += x[p * columns + j]! * beta[j]!;
  let partial = 0;
  for (let kind = 0; kind < size; ++kind) {
    const eta = at[cluster[kind]!]! + linear[pattern[kind]!]!;
    weight[kind] = Math.exp(eta);
    partial += kinds.events[kind]! * eta;
  }
  const ties = tieSums(events, atRisk.overPatterns(weight, covariates), withEvent.overPatterns(weight, covariates), rule), { square, squareSpared, squareSparedTwice } = ties;
  for (const v of ties.logarithm) partial -= v;

  /** Per kind, the sum of the values over the sets of its procedures, those with the event spared something. */
  const over = (value: Float64Array, spared: Float64Array): Float64Array => {
    const sums = atRisk.overSets(value), ofEvents = withEvent.overSets(spared);
    for (let kind = 0; kind < size; ++kind) sums[kind]! -= ofEvents[kind]!;
    return sums;
  };
  /** Sums over clusters of what each kind and each cluster adds, then over kinds times each free column. */
  const gather = (ofKind: Float64Array, ofCluster: (c: number) => number): Float64Array => {
    const result = new Float64Array(at.length), ofPattern = new Float64Array(patterns);
    for (let c = 0; c < q; ++c) result[c] = times[c]! * precision * ofCluster(c);
    for (let kind = 0; kind < size; ++kind) {
      result[cluster[kind]!]! += ofKind[kind]!;
      ofPattern[pattern[kind]!]! += ofKind[kind]!;
    }
    free.forEach((j, m) => { for (let p = 0; p < patterns; ++p) result[q + m]! += ofPattern[p]! * x[p * columns + j]!; });
    return result;
  };

  const hazard = over(ties.hazard, ties.spared), frailty = at.subarray(0, q).map(Math.exp);
  const gradient = gather(hazard.map((h, kind) => kinds.events[kind]! - weight[kind]! * h), (c) => 1 - frailty[c]!);
  let value = partial;
  for (let c = 0; c < q; ++c) value += precision * times[c]! * (at[c]! - frailty[c]!);
  const diagonal = new Float64Array(q);
  for (let c = 0; c < q; ++c) diagonal[c] = precision * times[c]! * frailty[c]!;
  for (let kind = 0; kind < size; ++kind) diagonal[cluster[kind]!]! += weight[kind]! * hazard[kind]!;

  const curve = (direction: Float64Array): Float64Array => {
    const slope = new Float64Array(patterns), moved = new Float64Array(size);
    free.forEach((j, m) => { for (let p = 0; p < patterns; ++p) slope[p]! += x[p * columns + j]! * direction[q + m]!; });
    for (let kind = 0; kind < size; ++kind) moved[kind] = weight[kind]! * (direction[cluster[kind]!]! + slope[pattern[kind]!]!);
    const all = atRisk.overPatterns(moved, covariates), own = withEvent.overPatterns(moved, covariates);
    const change = over(
      all.map((sum, k) => -(square[k]! * sum - squareSpared[k]! * own[k]!)),
      all.map((sum, k) => -(squareSpared[k]! * sum - squareSparedTwice[k]! * own[k]!)),
    );
    return gather(change.map((v, kind) => moved[kind]! * hazard[kind]! + weight[kind]! * v), (c) => frailty[c]! * direction[c]!);
  };
  return { at, partial, value, gradient, curve, diagonal };
}
