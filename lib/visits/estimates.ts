import type { Estimate } from '../analysis/result';
import type { NotEstimable } from '../stats/cells';
import { normalP, normalQuantile } from '../stats/distributions/normal';
import { studentTP, studentTQuantile } from '../stats/distributions/studentT';
import { newcombe, type Counted } from '../stats/proportions/newcombe';
import { wilson } from '../stats/proportions/wilson';

export const notEstimable = (reason: string): NotEstimable => ({ status: 'notEstimable', reason });

const percents = ({ value, lower, upper }: Estimate): Estimate => ({ value: 100 * value, lower: 100 * lower, upper: 100 * upper });

/** Percent of a count with Wilson limits. `effect`: the count and its total are divided by it first. */
export function percentOf(count: number, total: number, confidence: number, effect = 1, nobody = 'nobody was assessed'): Estimate | NotEstimable {
  return total === 0 ? notEstimable(nobody) : percents(wilson(count / effect, total / effect, confidence));
}

export function pointsBetween(a: Counted, b: Counted, confidence: number): Estimate | NotEstimable {
  return a.total === 0 || b.total === 0 ? notEstimable('nobody was assessed in one of the groups') : percents(newcombe(a, b, confidence));
}

export interface Tested { readonly estimate: Estimate | NotEstimable; readonly p: number }
export const untested = (reason: string): Tested => ({ estimate: notEstimable(reason), p: NaN });

/** A coefficient with limits and p-value; by Student's distribution where there are degrees of freedom. `ratio`: its exponential. */
export function tested(coefficient: number, variance: number, confidence: number, { df = Infinity, ratio = false }: { df?: number; ratio?: boolean } = {}): Tested {
  if (!Number.isFinite(coefficient) || !(variance > 0)) return untested('too few to compare');
  const error = Math.sqrt(variance), tail = (1 - confidence) / 2;
  const margin = error * (df === Infinity ? -normalQuantile(tail) : studentTQuantile(1 - tail, df)), on = ratio ? Math.exp : (v: number) => v;
  return {
    estimate: { value: on(coefficient), lower: on(coefficient - margin), upper: on(coefficient + margin) },
    p: df === Infinity ? normalP(coefficient / error) : studentTP(coefficient / error, df),
  };
}

/** Mean and standard deviation with Student's limits of the mean; no limits below two values. */
export function meanOf(values: readonly number[], confidence: number): { readonly mean: Estimate | NotEstimable; readonly standardDeviation: number } {
  const n = values.length;
  if (n < 2) return { mean: notEstimable(n === 0 ? 'nobody was assessed' : 'one value only'), standardDeviation: NaN };
  const value = values.reduce((sum, v) => sum + v, 0) / n;
  const standardDeviation = Math.sqrt(values.reduce((sum, v) => sum + (v - value) ** 2, 0) / (n - 1));
  const margin = (studentTQuantile(1 - (1 - confidence) / 2, n - 1) * standardDeviation) / Math.sqrt(n);
  return { mean: { value, lower: value - margin, upper: value + margin }, standardDeviation };
}
