import { gammaQuantile } from '../distributions/gammaQuantile';
import { noncentralChiSquareUpperTail, noncentralFUpperTail } from '../distributions/noncentral';

/** Power, 0–1, to see at `alpha` that some arm differs; numbers in the arms need not be whole. */
export type OverallPower = (n: readonly number[], alpha: number) => number;

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
const spread = (values: readonly number[], weights: readonly number[]): { readonly mean: number; readonly squares: number } => {
  const mean = sum(values.map((value, i) => value * weights[i]!)) / sum(weights);
  return { mean, squares: sum(values.map((value, i) => weights[i]! * (value - mean) ** 2)) };
};
const chiSquarePower = (noncentrality: number, df: number, alpha: number): number =>
  noncentralChiSquareUpperTail(2 * gammaQuantile(alpha, df / 2, 'upper'), df, noncentrality);

/** The χ² test of several proportions. Lachin 1977, Biometrics 33:315. */
export const proportionsOverall = (proportions: readonly number[]): OverallPower => (n, alpha) => {
  const { mean, squares } = spread(proportions, n);
  return chiSquarePower(squares / (mean * (1 - mean)), n.length - 1, alpha);
};

/** Analysis of variance, with `covariates` baseline measurements (of which the standard deviation is what is left). */
export const meansOverall = (means: readonly number[], sd: number, covariates: number): OverallPower => (n, alpha) => {
  const df1 = n.length - 1, df2 = sum(n) - n.length - covariates;
  return df2 > 0 ? noncentralFUpperTail(fBound(alpha, df1, df2), df1, df2, spread(means, n).squares / sd ** 2) : 0;
};

/** The log-rank test of several arms, from the chance of an event in each. Ahnn & Anderson 1995, Stat Med 14:2273. */
export const hazardsOverall = (logHazards: readonly number[], eventChance: readonly number[]): OverallPower => (n, alpha) => {
  const events = sum(n.map((k, i) => k * eventChance[i]!)), all = sum(n);
  return chiSquarePower((events * spread(logHazards, n).squares) / all, n.length - 1, alpha);
};

/** The point of Fisher's F with upper tail `alpha`, by halving. */
function fBound(alpha: number, df1: number, df2: number): number {
  let low = 0, high = 1;
  while (noncentralFUpperTail(high, df1, df2, 0) > alpha) high *= 2;
  for (let k = 0; k < 200 && high - low > 2 ** -52 * high; ++k) {
    const middle = (low + high) / 2;
    if (noncentralFUpperTail(middle, df1, df2, 0) > alpha) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
