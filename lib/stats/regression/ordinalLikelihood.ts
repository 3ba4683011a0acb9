import type { LikelihoodAt } from './newton';

const logistic = (v: number): number => 1 / (1 + Math.exp(-v));

/** Pr(class ≤ k), k = 0 … classes − 2, from thresholds α and linear predictor η: logit = α_k − η. */
function upTo(at: Float64Array, k: number, classes: number, eta: number): number {
  if (k < 0) return 0;
  return k < classes - 1 ? logistic(at[k]! - eta) : 1;
}

/**
 * The proportional-odds model for ordered classes (McCullagh 1980, J R Stat Soc B 42:109); with two classes, logistic regression.
 * `x`: rows × width, without an intercept; `y` and `count` per row. Parameters: the ascending thresholds, then a coefficient per column, positive
 * where the column goes with higher classes.
 */
export const ordinalLikelihood = (x: Float64Array, width: number, y: Int32Array, count: Float64Array, classes: number) => (at: Float64Array): LikelihoodAt => {
  const cuts = classes - 1, order = cuts + width;
  const gradient = new Float64Array(order), information = new Float64Array(order * order);
  const filled = new Int32Array(width), values = new Float64Array(width); // most columns of a row are 0
  const odds = Float64Array.from({ length: cuts }, (_, k) => Math.exp(-at[k]!));
  let value = 0;
  for (let i = 0; i < y.length; ++i) {
    const n = count[i]!, k = y[i]!, row = i * width;
    let eta = 0, size = 0;
    for (let j = 0; j < width; ++j) {
      const v = x[row + j]!;
      if (v === 0) continue;
      eta += at[cuts + j]! * v;
      filled[size] = cuts + j;
      values[size++] = v;
    }
    const above = Math.exp(eta), high = k < cuts ? 1 / (1 + above * odds[k]!) : 1, low = k > 0 ? 1 / (1 + above * odds[k - 1]!) : 0, p = high - low;
    if (!(p > 0)) return { at, value: -Infinity, gradient, information };
    value += n * Math.log(p);
    const f = high * (1 - high), g = low * (1 - low), byEta = n * (high + low - 1), weight = n * (f + g);
    for (let a = 0; a < size; ++a) {
      const v = values[a]!, line = filled[a]! * order, w = weight * v;
      gradient[filled[a]!]! += byEta * v;
      for (let b = 0; b <= a; ++b) information[line + filled[b]!]! += w * values[b]!;
      if (k < cuts) information[line + k]! -= n * f * v;
      if (k > 0) information[line + k - 1]! -= n * g * v;
    }
    if (k < cuts) {
      gradient[k]! += (n * f) / p;
      information[k * order + k]! += n * ((f * f) / (p * p) - (f * (1 - 2 * high)) / p);
    }
    if (k > 0) {
      gradient[k - 1]! -= (n * g) / p;
      information[(k - 1) * order + k - 1]! += n * ((g * g) / (p * p) + (g * (1 - 2 * low)) / p);
      if (k < cuts) information[k * order + k - 1]! -= (n * f * g) / (p * p);
    }
  }
  for (let i = 0; i < order; ++i) for (let j = 0; j < i; ++j) information[j * order + i] = information[i * order + j]!;
  return { at, value, gradient, information };
};

/** Probabilities of the classes of one row. */
export function ordinalProbabilities(at: Float64Array, eta: number, classes: number): Float64Array {
  return Float64Array.from({ length: classes }, (_, k) => Math.max(0, upTo(at, k, classes, eta) - upTo(at, k - 1, classes, eta)));
}
