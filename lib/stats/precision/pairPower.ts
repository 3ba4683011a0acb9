import { noncentralTUpperTail } from '../distributions/noncentral';
import { normalQuantile, normalUpperTail } from '../distributions/normal';
import { studentTQuantile } from '../distributions/studentT';

/** Numbers in the two arms that are compared; need not be whole. */
export type Pair<T = number> = readonly [T, T];

/** Power, 0–1, of a comparison. `alpha` is two-sided; an effect in the wrong direction does not count as seen but for means, where it is negligible. */
export type PairPower = (n: Pair, alpha: number) => number;

/** Two proportions by the normal approximation, pooled under no difference. Fleiss, Levin & Paik 2003, Statistical Methods for Rates and Proportions, ch. 4. */
export const proportionsPower = ([p, q]: Pair): PairPower => ([n, m], alpha) => {
  const pooled = (n * p + m * q) / (n + m), under = Math.sqrt(pooled * (1 - pooled) * (1 / n + 1 / m));
  return normalUpperTail((normalQuantile(1 - alpha / 2) * under - Math.abs(p - q)) / Math.sqrt((p * (1 - p)) / n + (q * (1 - q)) / m));
};

/** Whether the second arm's proportion is not above the first's by the margin or more. One-sided at alpha / 2, not pooled. Farrington & Manning 1990, Stat Med 9:1447, their first method. */
export const proportionsNotAbove = ([p, q]: Pair, margin: number): PairPower => ([n, m], alpha) =>
  normalUpperTail(normalQuantile(1 - alpha / 2) - (margin - (q - p)) / Math.sqrt((p * (1 - p)) / n + (q * (1 - q)) / m));

/** Two means by the t-test, or by analysis of covariance with `covariates` baseline measurements (of which the standard deviation is what is left). */
export const meansPower = (difference: number, sd: number, covariates: number): PairPower => ([n, m], alpha) => {
  const df = n + m - 2 - covariates, noncentrality = Math.abs(difference) / (sd * Math.sqrt(1 / n + 1 / m));
  if (!(df > 0)) return 0;
  const bound = studentTQuantile(1 - alpha / 2, df);
  return noncentralTUpperTail(bound, df, noncentrality) + 1 - noncentralTUpperTail(-bound, df, noncentrality);
};

/** Whether the second arm's mean is not below the first's by the margin or more, when it is higher by `difference`. One-sided at alpha / 2. */
export const meansNotBelow = (difference: number, margin: number, sd: number, covariates: number): PairPower => ([n, m], alpha) => {
  const df = n + m - 2 - covariates;
  return df > 0 ? noncentralTUpperTail(studentTQuantile(1 - alpha / 2, df), df, (difference + margin) / (sd * Math.sqrt(1 / n + 1 / m))) : 0;
};

/** Log-rank test or Cox model, from the chance of an event in each arm. Schoenfeld 1983, Biometrics 39:499. */
export const hazardsPower = (logHazardRatio: number, eventChance: Pair): PairPower => ([n, m], alpha) => {
  const events = n * eventChance[0] + m * eventChance[1], share = n / (n + m);
  return normalUpperTail(normalQuantile(1 - alpha / 2) - Math.abs(logHazardRatio) * Math.sqrt(events * share * (1 - share)));
};

/** Whether the second arm's hazard is not above the first's by the factor `margin` (above 1) or more. One-sided at alpha / 2. */
export const hazardsNotAbove = (logHazardRatio: number, margin: number, eventChance: Pair): PairPower => ([n, m], alpha) => {
  const events = n * eventChance[0] + m * eventChance[1], share = n / (n + m);
  return normalUpperTail(normalQuantile(1 - alpha / 2) - (Math.log(margin) - logHazardRatio) * Math.sqrt(events * share * (1 - share)));
};
