import { cholesky, relativeTolerance, solve } from '../cholesky';
import { firstAtLeast } from '../distinctTimes';
import { gammaQuantile } from '../distributions/gammaQuantile';
import type { Target } from './imputeFactor';
import { drawAround } from './posteriorDraw';
import type { PredictorMatrix } from './predictorMatrix';
import type { RandomNumbers } from './random';
import type { MeasuredVariable, Variable } from './variable';

const donors = 5;

/**
 * Predictive mean matching: each missing row gets the recorded value of one of the five rows whose predicted means are nearest to its own, which
 * is predicted with parameters drawn first, so that only values that occur are imputed.
 * Little 1988, J Bus Econ Stat 6:287; van Buuren 2018, Flexible Imputation of Missing Data, §3.4 (type 1 matching).
 */
export function imputeMeasured(variable: MeasuredVariable, variables: readonly Variable[], count: Float64Array, matrix: PredictorMatrix, target: Target, random: RandomNumbers): Float64Array {
  const { x, width } = matrix.without(variables, target.which, target.recorded, true);
  const cross = new Float64Array(width * width), moment = new Float64Array(width);
  target.recorded.forEach((row, r) => {
    const n = count[row]!, y = variable.value[row]!;
    for (let i = 0; i < width; ++i) {
      const w = n * x[r * width + i]!;
      if (w === 0) continue;
      moment[i]! += w * y;
      for (let j = 0; j <= i; ++j) cross[i * width + j]! += w * x[r * width + j]!;
    }
  });
  for (let i = 0; i < width; ++i) for (let j = 0; j < i; ++j) cross[j * width + i] = cross[i * width + j]!;
  const factor = cholesky(cross, width, relativeTolerance(cross, width, 1e-10)), at = solve(factor, moment);
  const predict = (rows: Float64Array, beta: Float64Array, r: number): number => {
    let sum = 0;
    for (let j = 0; j < width; ++j) sum += beta[j]! * rows[r * width + j]!;
    return sum;
  };
  const predicted = Float64Array.from(target.recorded, (_, r) => predict(x, at, r));
  let squares = 0, total = 0;
  target.recorded.forEach((row, r) => {
    squares += count[row]! * (variable.value[row]! - predicted[r]!) ** 2;
    total += count[row]!;
  });
  const df = Math.max(1, total - factor.rank), deviation = Math.sqrt(squares / (2 * gammaQuantile(random.uniform(), df / 2)));
  const drawn = drawAround({ at, factor }, random, deviation);
  const order = Int32Array.from(predicted.keys()).sort((a, b) => predicted[a]! - predicted[b]!), sorted = Float64Array.from(order, (r) => predicted[r]!);
  const { x: missing } = matrix.without(variables, target.which, target.missing, true);
  return Float64Array.from(target.missing, (_, r) => {
    const nearest = nearestTo(sorted, predict(missing, drawn, r)).map((k) => target.recorded[order[k]!]!);
    return variable.value[nearest[random.index(Float64Array.from(nearest, (row) => count[row]!))]!]!;
  });
}

/** Places in the ascending list of the values nearest to v. */
function nearestTo(sorted: Float64Array, v: number): number[] {
  const result: number[] = [];
  for (let high = firstAtLeast(sorted, v), low = high - 1; result.length < Math.min(donors, sorted.length);) {
    if (high >= sorted.length || (low >= 0 && v - sorted[low]! <= sorted[high]! - v)) result.push(low--);
    else result.push(high++);
  }
  return result;
}
