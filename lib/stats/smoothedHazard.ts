import type { NotEstimable } from './cells';
import { firstAbove, firstAtLeast } from './distinctTimes';
import { normalQuantile } from './distributions/normal';
import { numberAtRisk, type EventTable } from './eventTable';

export interface SmoothedHazard {
  readonly status: 'ok';
  /** Events up to this far from a time count towards its hazard, in the unit of the cells' times. */
  readonly bandwidth: number;
  /** Evenly spaced from 0 to the end. */
  readonly time: Float64Array;
  /** Events per procedure and unit of time; 0: none within reach; NaN: near an edge, where few events can add up to less than nothing. */
  readonly hazard: Float64Array;
  /** Limits at each time by itself; NaN where the hazard is 0 or NaN, or so near 0 that its upper limit is beyond all numbers. */
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  /** Just before each time. */
  readonly atRisk: Float64Array;
}

export interface SmoothedHazardOptions {
  readonly bandwidth: number;
  /** Where the curve may last be read (the stop of the percents); later events are not used. */
  readonly end: number;
  /** Default 101. */
  readonly points?: number;
  /** Two-sided, 0–1; default 0.95. */
  readonly confidence?: number;
}

/**
 * Kernel-smoothed hazard of the event of interest: the increments d/n of the Nelson–Aalen estimate and their variances d/n², with
 * Epanechnikov's kernel, changed near 0 and near the end so that it does not bend the curve there. Limits symmetric on the log scale.
 * Müller & Wang 1994, Biometrics 50:61 (boundary kernels, μ = 1); Klein & Moeschberger 2003, Survival Analysis, §6.2 (variance, limits).
 */
export function smoothedHazard(table: EventTable, { bandwidth, end, points = 101, confidence = 0.95 }: SmoothedHazardOptions): SmoothedHazard | NotEstimable {
  if (!(bandwidth > 0)) throw new RangeError(`bandwidth must be above 0: ${bandwidth}`);
  if (!(Number.isInteger(points) && points > 1)) throw new RangeError(`points must be a whole number above 1: ${points}`);
  if (2 * bandwidth > end) return { status: 'notEstimable', reason: `follow-up (${end}) is shorter than twice the bandwidth (${bandwidth})` };
  const used = firstAbove(table.time, end);
  if (!table.events.subarray(0, used).some((d) => d > 0)) return { status: 'notEstimable', reason: 'no revisions' };
  const time = Float64Array.from({ length: points }, (_, k) => (end * k) / (points - 1));
  const hazard = new Float64Array(points), lower = new Float64Array(points), upper = new Float64Array(points);
  const z = -normalQuantile((1 - confidence) / 2);
  time.forEach((t, k) => {
    const kernel = kernelAt(t / bandwidth, (end - t) / bandwidth);
    let sum = 0, variance = 0;
    for (let j = firstAtLeast(table.time, t - bandwidth); j < used && table.time[j]! <= t + bandwidth; ++j) {
      const d = table.events[j]!, n = table.atRisk[j]!;
      if (d === 0) continue;
      const weight = kernel((t - table.time[j]!) / bandwidth) / bandwidth;
      sum += (weight * d) / n;
      variance += (weight * weight * d) / (n * n);
    }
    hazard[k] = sum < 0 ? NaN : sum;
    const factor = sum > 0 ? Math.exp((z * Math.sqrt(variance)) / sum) : NaN;
    const limited = sum * factor < Infinity;
    lower[k] = limited ? sum / factor : NaN;
    upper[k] = limited ? sum * factor : NaN;
  });
  return { status: 'ok', bandwidth, time, hazard, lower, upper, atRisk: time.map((t) => numberAtRisk(table, t)) };
}

/** The kernel at a point `left` bandwidths from 0 and `right` from the end, not both below 1; its argument is from −1 to 1. */
function kernelAt(left: number, right: number): (z: number) => number {
  if (left < 1) return (z) => boundaryKernel(z, left);
  if (right < 1) return (z) => boundaryKernel(-z, right);
  return (z) => boundaryKernel(z, 1);
}

/** On [−1, q]; at q = 1 Epanechnikov's ¾(1 − z²). */
export const boundaryKernel = (z: number, q: number): number => (12 / (1 + q) ** 4) * (z + 1) * (z * (1 - 2 * q) + (3 * q * q - 2 * q + 1) / 2);
