import { conjugateGradient, dot } from './conjugateGradient';
import type { FrailtyModel } from './frailtyModel';
import { penalisedLikelihood, type PenalisedLikelihood } from './penalisedLikelihood';

/** The best fit for one variance of the frailties. */
export interface FrailtyAt {
  readonly variance: number;
  readonly likelihood: PenalisedLikelihood;
  /** Log likelihood with frailties integrated out, on the scale of Cox's partial likelihood, which it equals at variance 0. */
  readonly logLikelihood: number;
  /** Its derivative by the variance. */
  readonly slope: number;
}

/** `start`: log frailties and free coefficients to start from. Null: no maximum was found. */
export function frailtyAt(model: FrailtyModel, variance: number, start: Float64Array): FrailtyAt | null {
  const precision = 1 / variance;
  let here = penalisedLikelihood(model, precision, start);
  for (let iteration = 0; iteration < 100; ++iteration) {
    const step = solveCurve(model, here, here.gradient, 1e-4), gain = dot(step, here.gradient);
    if (gain <= 1e-18 * (1 + Math.abs(here.value))) return { variance, likelihood: here, ...marginal(model, precision, here) };
    const next = ascend(model, precision, here, step, gain);
    if (next === here) return gain < 1e-9 ? { variance, likelihood: here, ...marginal(model, precision, here) } : null;
    here = next;
  }
  return null;
}

/** The second derivative's inverse, times a vector. */
export function solveCurve({ cox: { maximum, names }, clusters, free }: FrailtyModel, { curve, diagonal }: PenalisedLikelihood, b: Float64Array, tolerance: number): Float64Array {
  const q = clusters.times.length, columns = names.length;
  const rough = (v: Float64Array): Float64Array => {
    const result = new Float64Array(v.length);
    for (let c = 0; c < q; ++c) result[c] = v[c]! / diagonal[c]!;
    free.forEach((j, m) => { free.forEach((k, n) => { result[q + m]! += maximum.covariance[j * columns + k]! * v[q + n]!; }); });
    return result;
  };
  return conjugateGradient(curve, b, rough, tolerance);
}

/** The first of the full step and its halves that raises the likelihood; `here` itself where rounding allows none. */
function ascend(model: FrailtyModel, precision: number, here: PenalisedLikelihood, step: Float64Array, gain: number): PenalisedLikelihood {
  const rounding = 1e-14 * (1 + Math.abs(here.value));
  for (let part = 1; part > 1e-6; part /= 2) {
    const next = penalisedLikelihood(model, precision, here.at.map((v, i) => v + part * step[i]!));
    if (next.value >= here.value + 1e-4 * part * gain - rounding) return next;
  }
  return here;
}

/** Nielsen et al. 1992, Scand J Stat 19:25; in terms of the penalised fit, Therneau, Grambsch & Pankratz 2003, J Comput Graph Stat 12:156. */
function marginal({ clusters: { times, events } }: FrailtyModel, precision: number, { at, partial }: PenalisedLikelihood) {
  let logLikelihood = partial, byPrecision = 0;
  times.forEach((n, c) => {
    const b = at[c]!, d = events[c]!, excess = b - Math.expm1(b), log = Math.log1p(d / precision); // b − e^b + 1
    let gamma = 0, byGamma = 0; // of ln Γ(ν + d) − ln Γ(ν) − d ln ν
    for (let l = 1; l < d; ++l) {
      gamma += Math.log1p(l / precision);
      byGamma -= l / (precision * (precision + l));
    }
    logLikelihood += n * (precision * excess + d - (precision + d) * log + gamma);
    byPrecision += n * (excess + d / precision - log + byGamma);
  });
  return { logLikelihood, slope: -precision * precision * byPrecision };
}
