import type { CoxModel } from './coxModel';
import { addLaterMembers } from './lingering';
import { membersInOrder } from './membersInOrder';
import { riskSums, type RiskSums } from './riskSums';
import { tieSums, type TieSums } from './tieSums';

/** The model at one coefficient vector (on the scaled covariates). */
export interface CoxState {
  readonly model: CoxModel;
  readonly beta: Float64Array;
  readonly sums: RiskSums;
  readonly ties: readonly TieSums[]; // per risk set
  /** Log partial likelihood. Cox 1975, Biometrika 62:269. */
  readonly logLikelihood: number;
}

export function coxState(model: CoxModel, beta: Float64Array): CoxState {
  const { sets: { events }, columns, eventX } = model;
  const sums = riskSums(model, beta);
  const ties = Array.from(events, (d, k) => tieSums(d, sums.s0[k]!, sums.e0[k]!, model.ties));
  let logLikelihood = 0;
  for (let k = 0; k < events.length; ++k) {
    let linear = 0;
    for (let j = 0; j < columns; ++j) linear += eventX[k * columns + j]! * beta[j]!;
    logLikelihood += linear - ties[k]!.logarithm;
  }
  return { model, beta, sums, ties, logLikelihood };
}

/** Σ over sets of weight · contribution to the score; without weights, the gradient of the log likelihood. */
export function score({ model, sums, ties }: CoxState, weight?: Float64Array): Float64Array {
  const { columns, eventX } = model, result = new Float64Array(columns);
  ties.forEach(({ hazard, spared }, k) => {
    const w = weight ? weight[k]! : 1;
    for (let j = 0; j < columns; ++j) {
      const at = k * columns + j;
      result[j]! += w * (eventX[at]! - (hazard * sums.s1[at]! - spared * sums.e1[at]!));
    }
  });
  return result;
}

/**
 * Σ over sets of weight · contribution to the information, columns × columns; without weights, minus the second derivative.
 * The sum of weight · x x′ over sets and members is taken pattern by pattern, from each pattern's share of the hazard.
 */
export function information(state: CoxState, weight?: Float64Array): Float64Array {
  const { model: { columns }, sums: { s1, e1 }, ties } = state;
  const result = crossProducts(state, weight);
  for (let k = 0; k < ties.length; ++k) {
    const { square, squareSpared, squareSparedTwice } = ties[k]!, w = weight ? weight[k]! : 1, at = k * columns, isTied = squareSpared !== 0;
    for (let i = 0; i < columns; ++i) {
      const a = w * (square * s1[at + i]! - squareSpared * e1[at + i]!), row = i * columns;
      for (let j = 0; j <= i; ++j) result[row + j]! -= a * s1[at + j]!;
      if (!isTied) continue;
      const b = w * (squareSpared * s1[at + i]! - squareSparedTwice * e1[at + i]!);
      for (let j = 0; j <= i; ++j) result[row + j]! += b * e1[at + j]!;
    }
  }
  for (let i = 0; i < columns; ++i) for (let j = 0; j < i; ++j) result[j * columns + i] = result[i * columns + j]!;
  return result;
}

function crossProducts({ model, sums, ties }: CoxState, weight?: Float64Array): Float64Array {
  const { columns, patterns, x } = model;
  const weighted = (of: (t: TieSums) => number) => Float64Array.from(ties, (t, k) => (weight ? weight[k]! : 1) * of(t));
  const share = hazardShares(model, weighted((t) => t.hazard), weighted((t) => t.spared)), result = new Float64Array(columns * columns);
  for (let p = 0; p < patterns; ++p) {
    const w = share[p]! * sums.relativeHazard[p]!;
    if (w === 0) continue;
    for (let i = 0; i < columns; ++i) {
      const wx = w * x[p * columns + i]!;
      if (wx !== 0) for (let j = 0; j <= i; ++j) result[i * columns + j]! += wx * x[p * columns + j]!;
    }
  }
  return result;
}

/** Σ over the procedures of each pattern of the hazard in the sets they are members of, those with the event spared theirs. */
function hazardShares(model: CoxModel, hazard: Float64Array, spared: Float64Array): Float64Array {
  const { cells, design, sets, patterns, lingering } = model, { start, pattern, count, fromStart, hasEvent } = membersInOrder(model), share = new Float64Array(patterns);
  for (let k = 0, running = 0; k < hazard.length; ++k) {
    running = (sets.stratum[k] === sets.stratum[k - 1] ? running : 0) + hazard[k]!;
    for (let b = start[k]!; b < start[k + 1]!; ++b) {
      share[pattern[b]!]! += count[b]! * ((fromStart[b] === 1 ? running : 0) - (hasEvent[b] === 1 ? spared[k]! : 0));
    }
  }
  if (sets.entering.cells.length === 0 && lingering === null) return share;
  const later = new Float64Array(cells.count.length);
  addLaterMembers(later, hazard, 1, sets, lingering);
  for (let i = 0; i < later.length; ++i) share[design.pattern[i]!]! += cells.count[i]! * later[i]!;
  return share;
}
