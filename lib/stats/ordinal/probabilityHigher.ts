import type { NotEstimable } from '../cells';
import { normalQuantile } from '../distributions/normal';

export interface ProbabilityHigher { readonly status: 'ok'; readonly value: number; readonly lower: number; readonly upper: number; readonly standardError: number }

/**
 * Pr(A > B) + ½ Pr(A = B) of two independent groups, from how many of each have each of the ordered grades. 0–1; ½: neither is higher.
 * The variance is that of DeLong, DeLong & Clarke-Pearson 1988, Biometrics 44:837; limits are symmetric on the logit scale.
 */
export function probabilityHigher(a: readonly number[], b: readonly number[], confidence = 0.95): ProbabilityHigher | NotEstimable {
  const total = (counts: readonly number[]): number => counts.reduce((sum, n) => sum + n, 0);
  const m = total(a), n = total(b);
  if (m < 2 || n < 2) return { status: 'notEstimable', reason: 'fewer than two in a group' };
  const placed = placements(a, b, n), back = placements(b, a, m).map((v) => 1 - v);
  const value = a.reduce((sum, k, g) => sum + k * placed[g]!, 0) / m;
  const spread = (counts: readonly number[], of: readonly number[], size: number): number =>
    counts.reduce((sum, k, g) => sum + k * (of[g]! - value) ** 2, 0) / (size - 1) / size;
  const standardError = Math.sqrt(spread(a, placed, m) + spread(b, back, n));
  if (!(standardError > 0)) return { status: 'notEstimable', reason: value === 0.5 ? 'everybody has the same grade' : 'every grade of one group is above every grade of the other' };
  const logit = Math.log(value / (1 - value)), margin = (-normalQuantile((1 - confidence) / 2) * standardError) / (value * (1 - value));
  const back01 = (v: number): number => 1 / (1 + Math.exp(-v));
  return { status: 'ok', value, lower: back01(logit - margin), upper: back01(logit + margin), standardError };
}

/** Of each grade: the share of the others below it, and half of those at it. */
function placements(grades: readonly number[], others: readonly number[], size: number): number[] {
  let below = 0;
  return grades.map((_, g) => {
    const at = others[g] ?? 0, place = (below + at / 2) / size;
    below += at;
    return place;
  });
}
