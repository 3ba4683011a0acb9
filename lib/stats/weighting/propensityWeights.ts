import type { Design, NotEstimable } from '../cells';
import { multinomial } from '../regression/multinomial';

/**
 * Whom the weighted groups stand for. `everyone`: each group is given the case mix of all, by the inverse of the probability of the group that
 * was received, stabilised by the group's share (Robins, Hernán & Brumback 2000, Epidemiology 11:550). `overlap`: those who might have
 * received any of the groups count most, and no weight is extreme (Li, Morgan & Zaslavsky 2018, J Am Stat Assoc 113:390; for more than two
 * groups Li & Li 2019, Ann Appl Stat 13:2389).
 */
export type TargetPopulation = 'everyone' | 'overlap';

export interface GroupWeights {
  readonly group: string;
  readonly procedures: number;
  /** (Σw)²/Σw²: how many procedures of equal weight would be as informative. Kish 1965, Survey Sampling, §11.7. */
  readonly effectiveSize: number;
  /** The largest weight, in multiples of the group's mean weight. */
  readonly largest: number;
  /** Percent of procedures whose weight is above 10 times the group's mean. */
  readonly extremePercent: number;
}

export interface PropensityWeights {
  readonly status: 'ok';
  /** Per cell, for each procedure in it. */
  readonly weight: Float64Array;
  /** Probability of each group given the covariates, patterns × groups. */
  readonly probability: Float64Array;
  readonly groups: readonly GroupWeights[];
}

/**
 * Weights that balance the covariates of `design` (without the groups themselves) between groups, from a multinomial model of which group was
 * received. `group` (from 0) and `count` have an entry per cell.
 * Not estimable where a level of a covariate is without one of the groups: those procedures have no counterpart.
 */
export function propensityWeights(
  design: Design, count: Float64Array, group: Int32Array, groups: readonly string[], target: TargetPopulation = 'everyone',
): PropensityWeights | NotEstimable {
  const size = groups.length, { pattern } = design;
  const patterns = design.names.length === 0 ? pattern.reduce((most, p) => Math.max(most, p + 1), 0) : design.values.length / design.names.length;
  const counts = new Float64Array(patterns * size), total = new Float64Array(size);
  group.forEach((g, i) => {
    if (!(g >= 0 && g < size)) throw new RangeError(`cell ${i}: group must be from 0 to ${size - 1}: ${g}`);
    counts[pattern[i]! * size + g]! += count[i]!;
    total[g]! += count[i]!;
  });
  const model = multinomial(design, counts, groups);
  if (model.status !== 'ok') return model;
  const all = total.reduce((sum, n) => sum + n, 0), { probability } = model;
  const ofPattern = probability.map((p, k) => {
    if (target === 'everyone') return total[k % size]! / all / p;
    const row = k - (k % size);
    let sum = 0;
    for (let g = 0; g < size; ++g) sum += 1 / probability[row + g]!;
    return 1 / (p * sum);
  });
  const weight = Float64Array.from(group, (g, i) => ofPattern[pattern[i]! * size + g]!);
  return { status: 'ok', weight, probability, groups: groups.map((name, g) => summary(name, g, weight, count, group)) };
}

function summary(name: string, g: number, weight: Float64Array, count: Float64Array, group: Int32Array): GroupWeights {
  let procedures = 0, sum = 0, squares = 0, largest = 0, extreme = 0;
  weight.forEach((w, i) => {
    if (group[i] !== g) return;
    procedures += count[i]!;
    sum += count[i]! * w;
    squares += count[i]! * w * w;
    largest = Math.max(largest, w);
  });
  const mean = sum / procedures;
  weight.forEach((w, i) => { if (group[i] === g && w > 10 * mean) extreme += count[i]!; });
  return { group: name, procedures, effectiveSize: (sum * sum) / squares, largest: largest / mean, extremePercent: (100 * extreme) / procedures };
}
