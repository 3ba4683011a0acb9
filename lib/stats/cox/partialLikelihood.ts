import type { CoxModel } from './coxModel';
import { overMembership } from './lingering';
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
  ties.forEach(({ square, squareSpared, squareSparedTwice }, k) => {
    const w = weight ? weight[k]! : 1, at = k * columns;
    for (let i = 0; i < columns; ++i) {
      const a = w * (square * s1[at + i]! - squareSpared * e1[at + i]!), b = w * (squareSpared * s1[at + i]! - squareSparedTwice * e1[at + i]!);
      for (let j = 0; j <= i; ++j) result[i * columns + j]! -= a * s1[at + j]! - b * e1[at + j]!;
    }
  });
  for (let i = 0; i < columns; ++i) for (let j = 0; j < i; ++j) result[j * columns + i] = result[i * columns + j]!;
  return result;
}

function crossProducts({ model, sums, ties }: CoxState, weight?: Float64Array): Float64Array {
  const { cells: { event, count }, design: { pattern }, sets, columns, patterns, x, lingering } = model;
  const weighted = (of: (t: TieSums) => number) => Float64Array.from(ties, (t, k) => (weight ? weight[k]! : 1) * of(t));
  const hazard = overMembership(weighted((t) => t.hazard), 1, sets, lingering), spared = weighted((t) => t.spared);
  const share = new Float64Array(patterns);
  for (let i = 0; i < hazard.length; ++i) share[pattern[i]!]! += count[i]! * (hazard[i]! - (event[i] === 1 ? spared[sets.last[i]!]! : 0));
  const result = new Float64Array(columns * columns);
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
