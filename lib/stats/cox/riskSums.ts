import type { CountsBySet } from './countsBySet';
import type { CoxModel } from './coxModel';
import type { Lingering } from './lingering';
import { membersByPattern } from './membersByPattern';

/** Weighted sums over each risk set at one coefficient vector; the weight of a procedure is its relative hazard e^(x′β). */
export interface RiskSums {
  /** x′β and e^(x′β) of each pattern. */
  readonly linear: Float64Array;
  readonly relativeHazard: Float64Array;
  /** Σ weight over the members of each set, and Σ weight · x (sets × columns). */
  readonly s0: Float64Array;
  readonly s1: Float64Array;
  /** The same over the events of each set alone. */
  readonly e0: Float64Array;
  readonly e1: Float64Array;
}

/**
 * Members are summed pattern by pattern; one pass more from early to late times for those that linger.
 * @param spent sums of the model that are needed no more: their memory is used again
 */
export function riskSums(model: CoxModel, beta: Float64Array, spent?: RiskSums): RiskSums {
  const { cells, design: { pattern }, sets: { stratum }, columns, patterns, x } = model, size = stratum.length;
  const linear = new Float64Array(patterns), members = membersByPattern(model);
  addLinear(linear, x, beta);
  const relativeHazard = linear.map(Math.exp);

  const { atRisk, withEvent } = members, [s0, s1] = over(atRisk, spent?.s0, spent?.s1), [e0, e1] = over(withEvent, spent?.e0, spent?.e1);
  if (model.lingering) linger(model.lingering);
  return { linear, relativeHazard, s0, s1, e0, e1 };

  function over(counts: CountsBySet, weights: Float64Array = new Float64Array(size), ofX: Float64Array = new Float64Array(size * columns)): [Float64Array, Float64Array] {
    const { covariates, sums } = members;
    sums.fill(0);
    counts.overPatterns(relativeHazard, covariates, sums);
    for (let j = 0; j < columns; ++j) products(ofX, sums, size, columns, j, covariates.usual[j]!);
    weights.set(sums.subarray(0, size));
    return [weights, ofX];
  }

  /** From early to late times: those that linger join after their exit, and all of one group shrink alike from set to set. */
  function linger({ cell, from, share, group, remaining }: Lingering): void {
    const width = columns + 1, lingering = new Float64Array(remaining.length * width);
    for (let k = 0, m = 0; k < size; ++k) {
      if (stratum[k] !== stratum[k - 1]) lingering.fill(0);
      for (; from[m] === k; ++m) {
        const i = cell[m]!, p = pattern[i]!, at = group[m]! * width, w = share[m]! * cells.count[i]! * relativeHazard[p]!;
        for (let j = 0; j < columns; ++j) lingering[at + j]! += w * x[p * columns + j]!;
        lingering[at + columns]! += w;
      }
      remaining.forEach((weight, g) => {
        for (let j = 0; j < columns; ++j) s1[k * columns + j]! += weight[k]! * lingering[g * width + j]!;
        s0[k]! += weight[k]! * lingering[g * width + columns]!;
      });
    }
  }
}

/** Column j of Σ weight · x, set by set, from the sums of weights and of differences from the usual x. */
function products(ofX: Float64Array, sums: Float64Array, size: number, columns: number, j: number, usual: number): void {
  for (let k = 0, at = j, from = (1 + j) * size; k < size; ++k, at += columns, ++from) ofX[at] = sums[from]! + usual * sums[k]!;
}

function addLinear(linear: Float64Array, x: Float64Array, beta: Float64Array): void {
  for (let p = 0, at = 0; p < linear.length; ++p) {
    let sum = 0;
    for (let j = 0; j < beta.length; ++j, ++at) sum += x[at]! * beta[j]!;
    linear[p] = sum;
  }
}
