import type { LikelihoodAt } from './newton';
import type { Regressors } from './regressors';

/** Probabilities of the classes, patterns × classes; the first class has linear predictor 0. */
export function softmaxProbabilities({ x, width }: Pick<Regressors, 'x' | 'width'>, at: Float64Array, classes: number): Float64Array {
  const patterns = x.length / width, result = new Float64Array(patterns * classes);
  for (let p = 0; p < patterns; ++p) {
    const row = p * classes;
    let largest = 0, sum = 0;
    for (let k = 1; k < classes; ++k) {
      let eta = 0;
      for (let i = 0, from = (k - 1) * width; i < width; ++i) eta += at[from + i]! * x[p * width + i]!;
      result[row + k] = eta;
      if (eta > largest) largest = eta;
    }
    for (let k = 0; k < classes; ++k) sum += result[row + k] = Math.exp(result[row + k]! - largest);
    for (let k = 0; k < classes; ++k) result[row + k]! /= sum;
  }
  return result;
}

/** Of `counts`, patterns × classes, given the total `weight` of each pattern. Parameters: class by class from the second, intercept first. */
export const softmaxLikelihood = (model: Pick<Regressors, 'x' | 'width'>, counts: Float64Array, weight: Float64Array, classes: number) => (at: Float64Array): LikelihoodAt => {
  const { x, width } = model, order = (classes - 1) * width;
  const probability = softmaxProbabilities(model, at, classes);
  const gradient = new Float64Array(order), information = new Float64Array(order * order);
  let value = 0;
  for (let p = 0; p < weight.length; ++p) {
    const n = weight[p]!, row = p * classes, own = p * width;
    if (n === 0) continue;
    for (let k = 0; k < classes; ++k) if (counts[row + k]! > 0) value += counts[row + k]! * Math.log(probability[row + k]!);
    for (let k = 1; k < classes; ++k) {
      const share = probability[row + k]!, residual = counts[row + k]! - n * share, from = (k - 1) * width;
      for (let i = 0; i < width; ++i) gradient[from + i]! += residual * x[own + i]!;
      for (let l = 1; l <= k; ++l) {
        const w = l === k ? n * share * (1 - share) : -n * share * probability[row + l]!, across = (l - 1) * width;
        for (let i = 0; i < width; ++i) {
          const wx = w * x[own + i]!, line = (from + i) * order + across;
          for (let j = 0; j <= i; ++j) information[line + j]! += wx * x[own + j]!; // each block is symmetric: its lower half is enough
        }
      }
    }
  }
  for (let k = 0; k < classes - 1; ++k) for (let l = 0; l <= k; ++l) fillBlock(information, order, k * width, l * width, width);
  return { at, value, gradient, information };
};

/** The upper half of a symmetric block, and the block across the diagonal. */
function fillBlock(matrix: Float64Array, order: number, row: number, column: number, width: number): void {
  for (let i = 0; i < width; ++i) {
    for (let j = 0; j <= i; ++j) {
      const v = matrix[(row + i) * order + column + j]!;
      matrix[(row + j) * order + column + i] = v;
      matrix[(column + i) * order + row + j] = v;
      matrix[(column + j) * order + row + i] = v;
    }
  }
}
