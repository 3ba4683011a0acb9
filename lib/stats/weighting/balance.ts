import type { Design } from '../cells';

/** A covariate, or one level of it, side by side over the groups. */
export interface SideBySide {
  /** Per group: mean, or share of a level (0–1). */
  readonly means: Float64Array;
  /** Largest absolute standardised difference between two groups; Infinity where neither varies and they differ. */
  readonly largestDifference: number;
}

export interface Balance {
  readonly name: string;
  readonly before: SideBySide;
  readonly after: SideBySide;
}

/**
 * How far the groups differ in each column of `characteristics` (one per level, the reference level too, or per measurement), without and with
 * weights. Differences are in units of √((s₁² + s₂²)/2), the standard deviations both times those without weights, so that a smaller number
 * means closer means and nothing else. Austin & Stuart 2015, Stat Med 34:3661; Stuart 2010, Stat Sci 25:1.
 */
export function balance(characteristics: Design, count: Float64Array, weight: Float64Array, group: Int32Array, groups: number): Balance[] {
  const weighted = count.map((n, i) => n * weight[i]!);
  return characteristics.names.map((name, j) => {
    const before = means(characteristics, j, count, group, groups), after = means(characteristics, j, weighted, group, groups);
    const variance = variances(characteristics, j, count, group, before);
    return {
      name,
      before: { means: before, largestDifference: largestDifference(before, variance) },
      after: { means: after, largestDifference: largestDifference(after, variance) },
    };
  });
}

function means({ names, values, pattern }: Design, column: number, weight: Float64Array, group: Int32Array, groups: number): Float64Array {
  const sum = new Float64Array(groups), total = new Float64Array(groups);
  group.forEach((g, i) => {
    sum[g]! += weight[i]! * values[pattern[i]! * names.length + column]!;
    total[g]! += weight[i]!;
  });
  return sum.map((s, g) => s / total[g]!);
}

/** p(1 − p) of a level, the sample variance of a measurement. */
function variances({ names, values, pattern }: Design, column: number, count: Float64Array, group: Int32Array, mean: Float64Array): Float64Array {
  const squares = new Float64Array(mean.length), total = new Float64Array(mean.length);
  let level = true;
  group.forEach((g, i) => {
    const v = values[pattern[i]! * names.length + column]!;
    level &&= v === 0 || v === 1;
    squares[g]! += count[i]! * (v - mean[g]!) ** 2;
    total[g]! += count[i]!;
  });
  return squares.map((s, g) => s / (level ? total[g]! : total[g]! - 1));
}

function largestDifference(mean: Float64Array, variance: Float64Array): number {
  const rounding = 1e-12;
  let largest = 0;
  for (let g = 0; g < mean.length; ++g) {
    for (let h = 0; h < g; ++h) {
      const difference = Math.abs(mean[g]! - mean[h]!);
      if (difference > rounding * Math.abs(mean[g]!)) largest = Math.max(largest, difference / Math.sqrt((variance[g]! + variance[h]!) / 2));
    }
  }
  return largest;
}
