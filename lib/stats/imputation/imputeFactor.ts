import { ordinalLikelihood, ordinalProbabilities } from '../regression/ordinalLikelihood';
import { softmaxLikelihood, softmaxProbabilities } from '../regression/softmaxLikelihood';
import { drawAround, posteriorMode } from './posteriorDraw';
import type { PredictorMatrix } from './predictorMatrix';
import type { RandomNumbers } from './random';
import type { FactorVariable, Variable } from './variable';

/** Rows with and without a recorded value, and where the last search for the model of this variable ended. */
export interface Target {
  readonly which: number;
  readonly recorded: Int32Array;
  readonly missing: Int32Array;
  start: Float64Array | null;
}

/**
 * Draws a level for each missing row, from a proportional-odds model (ordered levels, or two) or a multinomial one, whose parameters are drawn
 * first. Rubin 1987, Multiple Imputation for Nonresponse in Surveys, ch. 5; White, Royston & Wood 2011, Stat Med 30:377.
 */
export function imputeFactor(variable: FactorVariable, variables: readonly Variable[], count: Float64Array, matrix: PredictorMatrix, target: Target, random: RandomNumbers): Int32Array {
  const occurs = new Uint8Array(variable.levels);
  for (const row of target.recorded) occurs[variable.value[row]!] = 1;
  const levels = Int32Array.from(occurs.keys()).filter((level) => occurs[level] === 1), classes = levels.length;
  if (classes === 1) return new Int32Array(target.missing.length).fill(levels[0]!);
  const classOf = Int32Array.from(occurs, (_, level) => levels.indexOf(level));
  const y = target.recorded.map((row) => classOf[variable.value[row]!]!), weight = Float64Array.from(target.recorded, (row) => count[row]!);
  const draw = variable.kind === 'ordered' || classes === 2 ? ordered : nominal;
  return draw(y, weight, classes).map((k) => levels[k]!);

  function ordered(own: Int32Array, n: Float64Array, size: number): Int32Array {
    const { x, width } = matrix.without(variables, target.which, target.recorded, false), cuts = size - 1;
    const mode = posteriorMode(ordinalLikelihood(x, width, own, n, size), target.start ?? thresholds(own, n, size, width), (j) => j >= cuts);
    target.start = mode.at;
    let at = drawAround(mode, random);
    const ascending = (): boolean => at.subarray(0, cuts).every((v, k) => k === 0 || v > at[k - 1]!);
    for (let trial = 0; trial < 100 && !ascending(); ++trial) at = drawAround(mode, random);
    if (!ascending()) at = mode.at;
    const { x: rows } = matrix.without(variables, target.which, target.missing, false);
    return target.missing.map((_, r) => {
      let eta = 0;
      for (let j = 0; j < width; ++j) eta += at[cuts + j]! * rows[r * width + j]!;
      return random.index(ordinalProbabilities(at, eta, size));
    });
  }

  function nominal(own: Int32Array, n: Float64Array, size: number): Int32Array {
    const { x, width } = matrix.without(variables, target.which, target.recorded, true);
    const counts = new Float64Array(own.length * size);
    own.forEach((k, r) => { counts[r * size + k] = n[r]!; });
    const mode = posteriorMode(softmaxLikelihood({ x, width }, counts, n, size), target.start ?? new Float64Array((size - 1) * width), (j) => j % width > 0);
    target.start = mode.at;
    const { x: rows } = matrix.without(variables, target.which, target.missing, true);
    const probabilities = softmaxProbabilities({ x: rows, width }, drawAround(mode, random), size);
    return target.missing.map((_, r) => random.index(probabilities.subarray(r * size, (r + 1) * size)));
  }
}

/** Without any effect: the logits of the cumulative shares. */
function thresholds(y: Int32Array, count: Float64Array, classes: number, width: number): Float64Array {
  const share = new Float64Array(classes), start = new Float64Array(classes - 1 + width);
  y.forEach((k, r) => { share[k]! += count[r]!; });
  const total = share.reduce((sum, n) => sum + n, 0);
  for (let k = 0, below = 0; k < classes - 1; ++k) {
    below += share[k]!;
    start[k] = Math.log(below / (total - below));
  }
  return start;
}
