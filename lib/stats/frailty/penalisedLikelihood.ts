import { riskSums } from '../cox/riskSums';
import { tieSums } from '../cox/tieSums';
import { setSums, sumOver } from '../riskSets';
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
  const { cox: { state: { model: { cells, sets, design: { pattern }, columns, patterns, x, ties: rule }, beta: coxBeta } }, clusters, free, weighing } = model;
  const q = clusters.times.length, size = cells.count.length, { events } = sets;
  const beta = coxBeta.slice();
  free.forEach((j, m) => { beta[j] = at[q + m]!; });
  const linear = new Float64Array(patterns), weight = new Float64Array(size);
  for (let p = 0; p < patterns; ++p) for (let j = 0; j < columns; ++j) linear[p]! += x[p * columns + j]! * beta[j]!;
  let partial = 0;
  for (let i = 0; i < size; ++i) {
    const eta = at[clusters.of[i]!]! + linear[pattern[i]!]!;
    weight[i] = cells.count[i]! * Math.exp(eta);
    if (cells.event[i] === 1) partial += cells.count[i]! * eta;
  }
  const { s0, e0 } = riskSums(weighing(weight), new Float64Array(0));
  const ties = tieSums(events, s0, e0, rule), { square, squareSpared, squareSparedTwice } = ties;
  for (const v of ties.logarithm) partial -= v;

  /** Per cell, the sum of the values over its sets, those with the event spared something. */
  const over = (value: Float64Array, spared: Float64Array): Float64Array => {
    const sums = setSums(value, sets), result = new Float64Array(size);
    for (let i = 0; i < size; ++i) {
      const first = sets.first[i]!, last = sets.last[i]!;
      if (first <= last) result[i] = sumOver(sums, sets, first, last) - (cells.event[i] === 1 ? spared[last]! : 0);
    }
    return result;
  };
  /** Sums over clusters of what each cell and each cluster adds, then over cells times each free column. */
  const gather = (ofCell: Float64Array, ofCluster: (c: number) => number): Float64Array => {
    const result = new Float64Array(at.length), ofPattern = new Float64Array(patterns);
    for (let c = 0; c < q; ++c) result[c] = clusters.times[c]! * precision * ofCluster(c);
    for (let i = 0; i < size; ++i) {
      result[clusters.of[i]!]! += ofCell[i]!;
      ofPattern[pattern[i]!]! += ofCell[i]!;
    }
    free.forEach((j, m) => { for (let p = 0; p < patterns; ++p) result[q + m]! += ofPattern[p]! * x[p * columns + j]!; });
    return result;
  };

  const hazard = over(ties.hazard, ties.spared), frailty = at.subarray(0, q).map(Math.exp);
  const excess = hazard.map((h, i) => (cells.event[i] === 1 ? cells.count[i]! : 0) - weight[i]! * h);
  const gradient = gather(excess, (c) => 1 - frailty[c]!);
  let value = partial;
  for (let c = 0; c < q; ++c) value += precision * clusters.times[c]! * (at[c]! - frailty[c]!);
  const diagonal = new Float64Array(q);
  for (let c = 0; c < q; ++c) diagonal[c] = precision * clusters.times[c]! * frailty[c]!;
  for (let i = 0; i < size; ++i) diagonal[clusters.of[i]!]! += weight[i]! * hazard[i]!;

  const curve = (direction: Float64Array): Float64Array => {
    const slope = new Float64Array(patterns), moved = new Float64Array(size);
    free.forEach((j, m) => { for (let p = 0; p < patterns; ++p) slope[p]! += x[p * columns + j]! * direction[q + m]!; });
    for (let i = 0; i < size; ++i) moved[i] = weight[i]! * (direction[clusters.of[i]!]! + slope[pattern[i]!]!);
    const { s0: all, e0: own } = riskSums(weighing(moved), new Float64Array(0));
    const change = over(
      all.map((sum, k) => -(square[k]! * sum - squareSpared[k]! * own[k]!)),
      all.map((sum, k) => -(squareSpared[k]! * sum - squareSparedTwice[k]! * own[k]!)),
    );
    return gather(change.map((v, i) => moved[i]! * hazard[i]! + weight[i]! * v), (c) => frailty[c]! * direction[c]!);
  };
  return { at, partial, value, gradient, curve, diagonal };
}
