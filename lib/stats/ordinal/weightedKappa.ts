import type { NotEstimable } from '../cells';
import { normalQuantile } from '../distributions/normal';

export interface WeightedKappa { readonly status: 'ok'; readonly value: number; readonly lower: number; readonly upper: number; readonly standardError: number }

/**
 * Agreement of two readers beyond chance on ordered grades, disagreement counted by the square of its distance: weighted κ of Cohen 1968,
 * Psychol Bull 70:213, with the large-sample standard error of Fleiss, Cohen & Everitt 1969, Psychol Bull 72:323. `counts[first][second]`, square.
 */
export function weightedKappa(counts: readonly (readonly number[])[], confidence = 0.95): WeightedKappa | NotEstimable {
  const size = counts.length, total = counts.flat().reduce((sum, n) => sum + n, 0);
  if (total === 0) return { status: 'notEstimable', reason: 'nothing was read twice' };
  const share = (i: number, j: number): number => counts[i]![j]! / total, grades = Array.from({ length: size }, (_, i) => i);
  const sum = (of: (k: number) => number): number => grades.reduce((s, k) => s + of(k), 0);
  const first = grades.map((i) => sum((j) => share(i, j))), second = grades.map((j) => sum((i) => share(i, j)));
  const weight = (i: number, j: number): number => 1 - ((i - j) / (size - 1)) ** 2;
  const observed = sum((i) => sum((j) => weight(i, j) * share(i, j))), expected = sum((i) => sum((j) => weight(i, j) * first[i]! * second[j]!));
  if (!(expected < 1)) return { status: 'notEstimable', reason: 'both readers gave every radiograph the same grade' };
  const value = (observed - expected) / (1 - expected);
  const byFirst = grades.map((i) => sum((j) => weight(i, j) * second[j]!)), bySecond = grades.map((j) => sum((i) => weight(i, j) * first[i]!));
  const squares = sum((i) => sum((j) => share(i, j) * (weight(i, j) * (1 - expected) - (byFirst[i]! + bySecond[j]!) * (1 - observed)) ** 2));
  const variance = (squares - (observed * expected - 2 * expected + observed) ** 2) / (total * (1 - expected) ** 4);
  const standardError = Math.sqrt(Math.max(0, variance)), margin = -normalQuantile((1 - confidence) / 2) * standardError;
  return { status: 'ok', value, lower: Math.max(-1, value - margin), upper: Math.min(1, value + margin), standardError };
}
