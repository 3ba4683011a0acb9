import type { CoxModel } from './coxModel';
import { addLingering } from './lingering';
import { membersByPattern } from './membersByPattern';
import { riskSums, type RiskSums } from './riskSums';
import { tieSums, type TieSums } from './tieSums';

/** The model at one coefficient vector (on the scaled covariates). */
export interface CoxState {
  readonly model: CoxModel;
  readonly beta: Float64Array;
  readonly sums: RiskSums;
  readonly ties: TieSums;
  /** Log partial likelihood. Cox 1975, Biometrika 62:269. */
  readonly logLikelihood: number;
}

/** @param spent a state of the model that is needed no more: its memory is used again */
export function coxState(model: CoxModel, beta: Float64Array, spent?: CoxState): CoxState {
  const sums = riskSums(model, beta, spent?.sums), ties = tieSums(model.sets.events, sums.s0, sums.e0, model.ties);
  return { model, beta, sums, ties, logLikelihood: logLikelihoodOf(model.eventX, beta, ties.logarithm) };
}

function logLikelihoodOf(eventX: Float64Array, beta: Float64Array, logarithm: Float64Array): number {
  let sum = 0;
  for (let k = 0, at = 0; k < logarithm.length; ++k) {
    let linear = 0;
    for (let j = 0; j < beta.length; ++j, ++at) linear += eventX[at]! * beta[j]!;
    sum += linear - logarithm[k]!;
  }
  return sum;
}

/** Σ over sets of weight · contribution to the score; without weights, the gradient of the log likelihood. */
export function score({ model, sums: { s1, e1 }, ties }: CoxState, weight?: Float64Array): Float64Array {
  const { columns, eventX } = model, result = new Float64Array(columns);
  for (let k = 0; k < ties.hazard.length; ++k) {
    const hazard = ties.hazard[k]!, spared = ties.spared[k]!, w = weight ? weight[k]! : 1;
    for (let j = 0, at = k * columns; j < columns; ++j, ++at) result[j]! += w * (eventX[at]! - (hazard * s1[at]! - spared * e1[at]!));
  }
  return result;
}

/**
 * Σ over sets of weight · contribution to the information, columns × columns; without weights, minus the second derivative.
 * The sum of weight · x x′ over sets and members is taken pattern by pattern, from each pattern's share of the hazard.
 */
export function information(state: CoxState, weight?: Float64Array, share = hazardShares(state, weight)): Float64Array {
  const { model: { columns }, ties } = state, result = new Float64Array(columns * columns);
  addCrossProducts(result, 0, state, share);
  for (let k = 0, taken = 0; k < ties.hazard.length; k += taken) {
    taken = fourUntied(ties.squareSpared, k) ? 4 : 1;
    if (taken === 4) takeMeansOfFour(result, state, k, weight);
    else takeMeans(result, 0, state, k, weight ? weight[k]! : 1);
  }
  for (let i = 0; i < columns; ++i) for (let j = 0; j < i; ++j) result[j * columns + i] = result[i * columns + j]!;
  return result;
}

/** Takes from the lower triangle of the information that begins at `from` what the means of the covariates in set k are to it, times the weight. */
export function takeMeans(result: Float64Array, from: number, { model: { columns }, sums: { s1, e1 }, ties }: CoxState, k: number, weight: number): void {
  const square = ties.square[k]!, squareSpared = ties.squareSpared[k]!, squareSparedTwice = ties.squareSparedTwice[k]!, at = k * columns;
  const tied = squareSpared !== 0; // at few times of a small stratum
  for (let i = 0; !tied && i < columns; ++i) {
    const a = weight * square * s1[at + i]!;
    for (let j = 0, to = from + i * columns, of = at; j <= i; ++j, ++to, ++of) result[to]! -= a * s1[of]!;
  }
  for (let i = 0; tied && i < columns; ++i) {
    const s = s1[at + i]!, e = e1[at + i]!, a = weight * (square * s - squareSpared * e), b = weight * (squareSpared * s - squareSparedTwice * e);
    for (let j = 0, to = from + i * columns, of = at; j <= i; ++j, ++to, ++of) result[to]! += b * e1[of]! - a * s1[of]!;
  }
}

const fourUntied = (squareSpared: Float64Array, k: number): boolean => squareSpared[k] === 0 && squareSpared[k + 1] === 0 && squareSpared[k + 2] === 0 && squareSpared[k + 3] === 0;

/** The same of four sets without ties, as are most of small strata: each number of the information is looked up once for all of them. */
function takeMeansOfFour(result: Float64Array, { model: { columns }, sums: { s1 }, ties: { square } }: CoxState, k: number, weight: Float64Array | undefined): void {
  const first = k * columns, second = first + columns, third = second + columns, fourth = third + columns;
  const [u, v, w, z] = [k, k + 1, k + 2, k + 3].map((set) => (weight ? weight[set]! : 1) * square[set]!) as [number, number, number, number];
  for (let i = 0; i < columns; ++i) {
    const a = u * s1[first + i]!, b = v * s1[second + i]!, c = w * s1[third + i]!, d = z * s1[fourth + i]!;
    for (let j = 0, to = i * columns; j <= i; ++j, ++to) result[to]! -= a * s1[first + j]! + b * s1[second + j]! + (c * s1[third + j]! + d * s1[fourth + j]!);
  }
}

/**
 * Adds Σ share · relative hazard · x x′ over patterns to the lower triangle that begins at `from`. x is taken apart into the usual value u and the
 * difference from it: Σ w x x′ = Σ w d d′ + (Σ w d) u′ + u (Σ w d)′ + (Σ w) u u′.
 */
export function addCrossProducts(result: Float64Array, from: number, { model, sums }: CoxState, share: Float64Array): void {
  const { columns, patterns } = model, { start, column, value, usual } = membersByPattern(model).covariates;
  const ofDifferences = new Float64Array(columns);
  let total = 0;
  for (let p = 0; p < patterns; ++p) {
    const w = share[p]! * sums.relativeHazard[p]!, first = start[p]!, end = start[p + 1]!;
    total += w;
    for (let z = first; z < end; ++z) { // columns ascend within a pattern
      const wd = w * value[z]!, row = from + column[z]! * columns;
      ofDifferences[column[z]!]! += wd;
      for (let y = first; y <= z; ++y) result[row + column[y]!]! += wd * value[y]!;
    }
  }
  for (let i = 0; i < columns; ++i) {
    for (let j = 0; j <= i; ++j) result[from + i * columns + j]! += ofDifferences[i]! * usual[j]! + usual[i]! * (ofDifferences[j]! + total * usual[j]!);
  }
}

/** Σ over the procedures of each pattern of the hazard in the sets they are members of, times the weight of the set; those with the event are spared theirs. */
export function hazardShares({ model, ties }: CoxState, weight?: Float64Array): Float64Array {
  const { cells: { count }, design: { pattern }, lingering } = model, { atRisk, withEvent } = membersByPattern(model);
  const weighted = (values: Float64Array): Float64Array => (weight ? values.map((v, k) => weight[k]! * v) : values);
  const hazard = weighted(ties.hazard), share = atRisk.overSets(hazard), own = withEvent.overSets(weighted(ties.spared));
  for (let p = 0; p < share.length; ++p) share[p]! -= own[p]!;
  if (lingering === null) return share;
  const later = new Float64Array(count.length);
  addLingering(later, hazard, 1, lingering);
  for (let i = 0; i < later.length; ++i) share[pattern[i]!]! += count[i]! * later[i]!;
  return share;
}
