import type { Cells, Design, NotEstimable } from '../cells';
import { cox, type CoxFit, type CoxOptions } from '../cox/cox';
import { martingaleResiduals } from '../cox/residuals';
import { chiSquareUpperTail } from '../distributions/chiSquare';
import { normalQuantile } from '../distributions/normal';
import { finish, type InPieces } from '../inPieces';
import { rootSearch } from './bracketedRoot';
import { frailtyAt, solveCurve, type FrailtyAt } from './frailtyAt';
import { frailtyModel, type FrailtyModel } from './frailtyModel';

/** Ratios given that two procedures are of one cluster. For `hazardRatios(fit)`. */
export interface SharedFrailty extends Pick<CoxFit, 'names' | 'coefficient' | 'covariance' | 'notEstimable'> {
  readonly status: 'ok';
  /** Variance θ of the clusters' multipliers of the hazard, whose mean is 1. 0: no more variation between clusters than chance makes. */
  readonly variance: number;
  /** Profile likelihood limits of θ. */
  readonly lower: number;
  readonly upper: number;
  /** Likelihood ratio test of θ = 0; p by the mixture of χ² on 0 and on 1 degree of freedom: Self & Liang 1987, J Am Stat Assoc 82:605. */
  readonly test: { readonly chisq: number; readonly p: number };
  readonly clusters: number;
  /** Log likelihood without frailty, and with frailties integrated out. */
  readonly logLikelihood: { readonly cox: number; readonly frailty: number };
  /** The estimated multiplier of each numbered cluster. */
  readonly frailty: ReadonlyMap<number, number>;
}

export interface FrailtyOptions extends CoxOptions {
  /** Of the limits of the variance; two-sided, 0–1; default 0.95. */
  readonly confidence?: number;
}

const largestVariance = 50, smallestVariance = 1e-7;

/**
 * Cox regression in which each cluster multiplies the hazard by a gamma variable of its own, by maximum likelihood; coefficients' covariance
 * takes the variance of the frailties for known.
 * Clayton 1978, Biometrika 65:141; Nielsen et al. 1992, Scand J Stat 19:25; Therneau, Grambsch & Pankratz 2003, J Comput Graph Stat 12:156.
 */
export const sharedFrailty = (cells: Cells, design: Design, options: FrailtyOptions = {}): SharedFrailty | NotEstimable => finish(sharedFrailtyInPieces(cells, design, options));

/** The same, to be left before any of its fits. */
export function* sharedFrailtyInPieces(cells: Cells, design: Design, { confidence = 0.95, ...options }: FrailtyOptions = {}): InPieces<SharedFrailty | NotEstimable> {
  const fit = cox(cells, design, options);
  if (fit.status !== 'ok') return fit;
  const model = frailtyModel(fit);
  if ('status' in model) return model;
  const search = profile(model), best = yield* search.maximum();
  if (best === null) return { status: 'notEstimable', reason: 'the variation between clusters is too large, or the search for it did not settle' };
  const without = fit.logLikelihood.fitted, within = best === 'none' ? without : best.logLikelihood;
  const chisq = Math.max(0, 2 * (within - without)), p = chisq > 0 ? chiSquareUpperTail(chisq, 1) / 2 : 1;
  const variance = best === 'none' ? 0 : best.variance, drop = normalQuantile((1 - confidence) / 2) ** 2 / 2;
  const limits = yield* search.limits(variance, within - drop);
  return {
    status: 'ok',
    names: fit.names,
    notEstimable: fit.notEstimable,
    ...(best === 'none' ? { coefficient: fit.coefficient, covariance: fit.covariance } : coefficients(model, best)),
    variance,
    ...limits,
    test: { chisq, p },
    clusters: model.clusters.times.reduce((sum, n) => sum + n, 0),
    logLikelihood: { cox: without, frailty: within },
    frailty: multipliers(cells, model, best === 'none' ? null : best),
  };
}

/** The likelihood over the logarithm of the variance, each fit starting from the one before; NaN where a search did not settle. */
function profile(model: FrailtyModel) {
  const { cox: { state, logLikelihood: { fitted: without } }, clusters, free } = model;
  let last = new Float64Array(clusters.times.length + free.length);
  free.forEach((j, m) => { last[clusters.times.length + m] = state.beta[j]!; });
  function* at(log: number): InPieces<FrailtyAt | null> {
    yield;
    const found = frailtyAt(model, Math.exp(log), last);
    if (found) last = found.likelihood.at.slice();
    return found;
  }
  function* slope(log: number): InPieces<number> {
    return (yield* at(log))?.slope ?? NaN;
  }
  function* root(of: (log: number) => InPieces<number>, ...bracket: Parameters<typeof rootSearch>): InPieces<number> {
    const search = rootSearch(...bracket);
    let next = search.next();
    while (next.done !== true) next = search.next(yield* of(next.value));
    return next.value;
  }
  return {
    *maximum(): InPieces<FrailtyAt | 'none' | null> {
      if (slopeAtNone(model) <= 0) return 'none';
      let low = Math.log(0.1), high = low, atLow = yield* slope(low), atHigh = atLow;
      for (; atHigh > 0 && high < Math.log(largestVariance); atHigh = yield* slope(high)) [low, atLow, high] = [high, atHigh, high + 1];
      for (; atLow <= 0 && low > Math.log(smallestVariance); atLow = yield* slope(low)) [high, atHigh, low] = [low, atLow, low - 2];
      if (atLow <= 0) return 'none';
      return atLow > 0 && atHigh <= 0 ? yield* at(yield* root(slope, low, high, atLow, atHigh, 1e-9)) : null;
    },
    /** Where the likelihood falls to `level` on either side of the variance that it is highest at. */
    *limits(variance: number, level: number): InPieces<{ lower: number; upper: number }> {
      function* above(log: number): InPieces<number> {
        return ((yield* at(log))?.logLikelihood ?? NaN) - level;
      }
      function* crossing(from: number, step: number): InPieces<number> {
        let here = from, value = yield* above(here), before = value;
        for (; value > 0 && Math.abs(here - from) < 20; value = yield* above(here)) [before, here] = [value, here + step];
        return value <= 0 ? Math.exp(yield* root(above, here - step, here, before, value, 1e-5)) : NaN;
      }
      return {
        lower: without >= level ? 0 : yield* crossing(Math.log(variance), -1),
        upper: yield* crossing(Math.log(Math.max(variance, 1e-3)), 1),
      };
    },
  };
}

/** Derivative of the likelihood by the variance at 0: ½ Σ (events − expected)² − events. Commenges & Andersen 1995, Lifetime Data Anal 1:145. */
function slopeAtNone({ cox: { state }, clusters }: FrailtyModel): number {
  const { cells } = state.model, excess = new Float64Array(clusters.times.length);
  martingaleResiduals(state).forEach((r, i) => { excess[clusters.of[i]!]! += (cells.count[i]! / clusters.times[clusters.of[i]!]!) * r; });
  return clusters.times.reduce((sum, n, c) => sum + (n / 2) * (excess[c]! ** 2 - clusters.events[c]!), 0);
}

function coefficients(model: FrailtyModel, { likelihood }: FrailtyAt): Pick<SharedFrailty, 'coefficient' | 'covariance'> {
  const { cox: { names, state: { model: { scale } } }, clusters, free } = model, q = clusters.times.length, columns = names.length, order = free.length;
  const covariance = new Float64Array(columns * columns).fill(NaN), coefficient = new Float64Array(columns).fill(NaN);
  free.forEach((j, m) => {
    coefficient[j] = likelihood.at[q + m]! / scale[j]!;
    const unit = new Float64Array(q + order);
    unit[q + m] = 1;
    const column = solveCurve(model, likelihood, unit, 1e-11);
    free.forEach((i, n) => { covariance[i * columns + j] = column[q + n]! / (scale[i]! * scale[j]!); });
  });
  return { coefficient, covariance };
}

function multipliers({ cluster }: Cells, { clusters }: FrailtyModel, best: FrailtyAt | null): ReadonlyMap<number, number> {
  const result = new Map<number, number>();
  cluster?.forEach((c, i) => { if (c >= 0) result.set(c, best ? Math.exp(best.likelihood.at[clusters.of[i]!]!) : 1); });
  return result;
}
