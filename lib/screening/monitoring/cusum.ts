/** A chart that sums evidence for a higher risk against evidence for the usual one, and never falls below 0. */
export interface Cusum {
  /** After each step. At a reset the step's own evidence is the first to count. */
  readonly value: Float64Array;
  /** Steps at which the chart first went above the threshold since it last started. */
  readonly signals: readonly number[];
  /** Steps before which it started again from 0. */
  readonly resets: readonly number[];
}

/**
 * `weight`: log likelihood ratio of each step, in order. After a signal the chart starts again from 0 at the next step, or goes on until one of
 * the steps in `resetAt`, at which those who reviewed it close their review.
 * Page 1954, Biometrika 41:100; Steiner et al. 2000, Biostatistics 1:441.
 */
export function cusum(weight: ArrayLike<number>, threshold: number, resetAt: readonly number[] | 'afterSignal' = 'afterSignal'): Cusum {
  if (!(threshold > 0)) throw new RangeError(`threshold must be above 0: ${threshold}`);
  const value = new Float64Array(weight.length), signals: number[] = [], resets: number[] = [];
  const closed = new Set(resetAt === 'afterSignal' ? [] : resetAt);
  for (let t = 0, sum = 0, signalled = false; t < weight.length; ++t) {
    if (closed.has(t) || (resetAt === 'afterSignal' && signalled)) {
      resets.push(t);
      sum = 0;
      signalled = false;
    }
    value[t] = sum = Math.max(0, sum + weight[t]!);
    if (sum > threshold && !signalled) {
      signals.push(t);
      signalled = true;
    }
  }
  return { value, signals, resets };
}
