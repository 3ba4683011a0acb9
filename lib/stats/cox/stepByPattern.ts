import { solve, type Cholesky } from '../cholesky';
import { membersByPattern } from './membersByPattern';
import type { CoxState } from './partialLikelihood';

const mostPasses = 8;

/**
 * A step that comes nearer to the maximum than Newton's, from sums over patterns instead of risk sets: as if each pattern had its share of the hazard in one
 * common set, put right so that score and information are those of the state. What it takes for granted of the third derivatives is nearly so where
 * the patterns leave the risk sets alike. Null: none that ascends was found; the likelihood may have no maximum.
 * @param share of the hazard, per pattern, as `hazardShares` gives it
 * @param information of the state; `factorOf` takes apart a matrix like it
 * @param rank that the matrices must have
 */
export function stepByPattern(state: CoxState, share: Float64Array, score: Float64Array, information: Float64Array, factorOf: (matrix: Float64Array) => Cholesky, rank: number): Float64Array | null {
  const columns = score.length, step = new Float64Array(columns), start = spread(state, share, step), { events } = start;
  const between = start.information.map((v, k) => v - information[k]!); // what differences between the sets take from it
  for (let pass = 0, first = 0, now = start; pass < mostPasses; ++pass) {
    const left = score.map((v, i) => {
      let sum = v - (now.mean[i]! - start.mean[i]!) * events;
      for (let j = 0; j < columns; ++j) sum += between[i * columns + j]! * step[j]!;
      return sum;
    });
    const factor = factorOf(now.information.map((v, k) => v - between[k]!));
    if (factor.rank < rank) return null;
    const further = solve(factor, left), size = further.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
    if (pass === 0) first = size;
    for (let j = 0; j < columns; ++j) step[j]! += further[j]!;
    if (size <= 1e-5 * first) return step.reduce((sum, v, j) => sum + v * score[j]!, 0) > 0 ? step : null;
    if (size > 2 * first) return null;
    now = spread(state, share, step, events);
  }
  return null;
}

interface Spread { readonly events: number; readonly mean: Float64Array; readonly information: Float64Array }

/** Mean of the differences from the usual covariates and information, of one set of all patterns in which `step` is added to the coefficients. */
function spread({ model, sums: { relativeHazard } }: CoxState, share: Float64Array, step: Float64Array, given?: number): Spread {
  const { columns } = model, { start, column, value } = membersByPattern(model).covariates, mean = new Float64Array(columns), information = new Float64Array(columns * columns);
  const total = sumUp(mean, information, step, share, relativeHazard, start, column, value), events = given ?? total; // shares are of all events
  for (let i = 0; i < columns; ++i) mean[i]! /= total;
  for (let i = 0; i < columns; ++i) {
    for (let j = 0; j <= i; ++j) information[i * columns + j] = information[j * columns + i] = events * (information[i * columns + j]! / total - mean[i]! * mean[j]!);
  }
  return { events, mean, information };
}

/** Adds Σ w d and the lower triangle of Σ w d d′, w the weight of a pattern and d its differences; returns Σ w. */
function sumUp(
  sums: Float64Array, squares: Float64Array, step: Float64Array, share: Float64Array, relativeHazard: Float64Array, start: Int32Array, column: Int32Array, value: Float64Array,
): number {
  let total = 0;
  for (let p = 0; p < share.length; ++p) {
    if (share[p] === 0) continue; // a pattern that no cell has
    let further = 0;
    for (let z = start[p]!, end = start[p + 1]!; z < end; ++z) further += value[z]! * step[column[z]!]!;
    const weight = share[p]! * relativeHazard[p]! * Math.exp(further);
    total += weight;
    for (let z = start[p]!, end = start[p + 1]!; z < end; ++z) {
      const of = weight * value[z]!, row = column[z]! * step.length;
      sums[column[z]!]! += of;
      for (let y = start[p]!; y <= z; ++y) squares[row + column[y]!]! += of * value[y]!; // columns ascend within a pattern
    }
  }
  return total;
}
