import type { NotEstimable } from '../cells';
import { cholesky, quadraticForm, relativeTolerance, solve } from '../cholesky';
import { distinctTimes, firstAtLeast } from '../distinctTimes';
import { normalQuantile } from '../distributions/normal';
import { eventTable } from '../eventTable';
import { kaplanMeier } from '../kaplanMeier';
import { naturalSpline } from '../naturalSpline';
import type { CoxFit } from './cox';
import { schoenfeldResiduals } from './schoenfeld';

/** The hazard ratio of one unit of a column as it may change with time. */
export interface SmoothHazardRatio {
  readonly status: 'ok';
  readonly name: string;
  /** Times asked for that lie between the first and the last event. */
  readonly time: Float64Array;
  readonly ratio: Float64Array;
  /** Pointwise limits. */
  readonly lower: Float64Array;
  readonly upper: Float64Array;
}

/**
 * A natural spline with 4 degrees of freedom through the scaled Schoenfeld residuals, on the scale 1 − S(t−) of all procedures, with its outer
 * knots at the first and last event and its inner ones at the tertiles of events. The limits take the coefficients' covariance as the same at
 * all times, and procedures as independent: a picture of how the ratio changes, not a test of it.
 * Grambsch & Therneau 1994, Biometrika 81:515; Therneau & Grambsch 2000, Modeling Survival Data, §6.2.
 */
export function smoothHazardRatio(fit: CoxFit, column: number, times: readonly number[], confidence = 0.95): SmoothHazardRatio | NotEstimable {
  const missing = fit.notEstimable[column];
  if (missing) return missing;
  const { time: eventTime, count, scaled } = schoenfeldResiduals(fit), columns = fit.names.length;
  const { table, survival } = kaplanMeier(eventTable(fit.state.model.cells));
  const scale = (t: number): number => 1 - (survival[firstAtLeast(table.time, t) - 1] ?? 1);
  const knots = eventKnots(eventTime.map(scale), count);
  const basis = naturalSpline(knots), order = knots.length;
  const cross = new Float64Array(order * order), moment = new Float64Array(order);
  eventTime.forEach((t, row) => {
    const b = basis(scale(t)), n = count[row]!;
    for (let i = 0; i < order; ++i) {
      moment[i]! += n * b[i]! * scaled[row * columns + column]!;
      for (let j = 0; j < order; ++j) cross[i * order + j]! += n * b[i]! * b[j]!;
    }
  });
  if (knots.some((v, k) => !(v > (knots[k - 1] ?? -1)))) return tooFew;
  const factor = cholesky(cross, order, relativeTolerance(cross, order));
  if (factor.rank < order) return tooFew;
  const spline = solve(factor, moment), variance = fit.events * fit.covariance[column * columns + column]!;
  const { time: distinct } = distinctTimes(eventTime), within = times.filter((t) => t >= distinct[0]! && t <= distinct.at(-1)!);
  const bases = within.map((t) => basis(scale(t)));
  const log = Float64Array.from(bases, (b) => b.reduce((sum, v, i) => sum + v * spline[i]!, 0));
  const margin = Float64Array.from(bases, (b) => -normalQuantile((1 - confidence) / 2) * Math.sqrt(variance * quadraticForm(factor, b)));
  return {
    status: 'ok',
    name: fit.names[column]!,
    time: Float64Array.from(within),
    ratio: log.map(Math.exp),
    lower: log.map((v, k) => Math.exp(v - margin[k]!)),
    upper: log.map((v, k) => Math.exp(v + margin[k]!)),
  };
}

const tooFew: NotEstimable = { status: 'notEstimable', reason: 'revisions at too few different times' };

/** First, tertiles and last of the events, each counted; quantiles between two events by straight interpolation. */
function eventKnots(values: Float64Array, count: Float64Array): Float64Array {
  const order = Int32Array.from(values.keys()).sort((a, b) => values[a]! - values[b]!);
  const upTo: number[] = [];
  for (const i of order) upTo.push((upTo.at(-1) ?? 0) + count[i]!);
  const total = upTo.at(-1)!;
  const nth = (n: number): number => values[order[upTo.findIndex((sum) => sum > n)]!]!; // from 0
  return Float64Array.from([0, 1 / 3, 2 / 3, 1], (p) => {
    const position = p * (total - 1), below = Math.floor(position);
    return nth(below) + (position - below) * (nth(Math.min(below + 1, total - 1)) - nth(below));
  });
}
