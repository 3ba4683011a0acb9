import type { NotEstimable } from '../cells';

/** Times known to lie in (left, right]; right Infinity: not by `left`. One entry per distinct pair, `count` of them. */
export interface IntervalCells {
  readonly left: Float64Array;
  readonly right: Float64Array;
  readonly count: Float64Array;
}

export interface Turnbull {
  readonly status: 'ok';
  /** Of the intervals (from, to] that can hold mass, ascending; the last `to` may be Infinity. */
  readonly from: Float64Array;
  readonly to: Float64Array;
  /** Probability of each, summing to 1. */
  readonly mass: Float64Array;
  /** Cells × intervals, 1 where the interval lies in the cell's. */
  readonly covers: Uint8Array;
  readonly logLikelihood: number;
}

const mostSteps = 200_000, vanished = 1e-9;

/**
 * The nonparametric maximum likelihood estimate for interval-censored times (Turnbull 1976, J R Stat Soc B 38:290) by the EM algorithm, checked against the
 * conditions that it must fulfil (Gentleman & Geyer 1994, Biometrika 81:618). Within an interval nothing is known of where its mass lies.
 * Throws a RangeError unless 0 ≤ left < right and counts are above 0.
 */
export function turnbull({ left, right, count }: IntervalCells): Turnbull | NotEstimable {
  left.forEach((l, i) => {
    if (!(l >= 0 && l < right[i]!)) throw new RangeError(`interval ${i}: 0 ≤ left < right must hold: ${l}, ${right[i]}`);
    if (!(count[i]! > 0)) throw new RangeError(`interval ${i}: the count must be above 0: ${count[i]}`);
  });
  const total = count.reduce((sum, n) => sum + n, 0);
  if (total === 0) return { status: 'notEstimable', reason: 'nobody was assessed' };
  const { from, to } = innermost(left, right), size = from.length;
  const covers = new Uint8Array(left.length * size);
  left.forEach((l, i) => { from.forEach((f, j) => { covers[i * size + j] = Number(l <= f && to[j]! <= right[i]!); }); });
  let mass = new Float64Array(size).fill(1 / size), logLikelihood = -Infinity;
  const gradient = new Float64Array(size);
  for (let step = 0; step < mostSteps; ++step) {
    gradient.fill(0);
    logLikelihood = 0;
    for (let i = 0; i < count.length; ++i) {
      let p = 0;
      for (let j = 0; j < size; ++j) if (covers[i * size + j] === 1) p += mass[j]!;
      logLikelihood += count[i]! * Math.log(p);
      for (let j = 0; j < size; ++j) if (covers[i * size + j] === 1) gradient[j]! += count[i]! / p;
    }
    // no mass anywhere could raise the likelihood, and what cannot hold mass has none
    if (gradient.every((g, j) => g <= total * (1 + 1e-10) && (mass[j]! < vanished || g >= total * (1 - 1e-8)))) break;
    mass = mass.map((m, j) => (m * gradient[j]!) / total);
  }
  return { status: 'ok', from, to, mass: mass.map((m, j) => (m < vanished && gradient[j]! < total ? 0 : m)), covers, logLikelihood };
}

/** Turnbull's intervals: a left end followed at once by a right end, no other end between. */
function innermost(left: Float64Array, right: Float64Array): { from: Float64Array; to: Float64Array } {
  // at equal times a right end comes first: (a, b] and (b, c] do not meet
  const ends = [...Array.from(new Set(left), (time) => ({ time, isLeft: true })), ...Array.from(new Set(right), (time) => ({ time, isLeft: false }))]
    .sort((a, b) => a.time - b.time || Number(a.isLeft) - Number(b.isLeft));
  const pairs = ends.flatMap((end, k) => (end.isLeft && ends[k + 1]?.isLeft === false ? [[end.time, ends[k + 1]!.time] as const] : []));
  return { from: Float64Array.from(pairs, ([f]) => f), to: Float64Array.from(pairs, ([, t]) => t) };
}
