import { studentTP, studentTQuantile } from '../distributions/studentT';

/** One estimate from several imputed data sets. */
export interface Pooled {
  readonly estimate: number;
  readonly standardError: number;
  readonly lower: number;
  readonly upper: number;
  readonly df: number;
  /** Two-sided, of the estimate being 0. */
  readonly p: number;
  /** Mean variance within data sets, and variance of the estimates between them. */
  readonly within: number;
  readonly between: number;
  /** Part of the information that is missing, 0–1. */
  readonly fractionMissing: number;
}

/**
 * Rubin's rules, with Barnard and Rubin's degrees of freedom, `completeDf` being those that complete data would have.
 * Rubin 1987, Multiple Imputation for Nonresponse in Surveys; Barnard & Rubin 1999, Biometrika 86:948.
 */
export function rubin(estimates: readonly number[], variances: readonly number[], completeDf = Infinity, confidence = 0.95): Pooled {
  const m = estimates.length;
  if (m < 2 || variances.length !== m) throw new RangeError(`two or more estimates, each with its variance, are needed: ${m} and ${variances.length}`);
  const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / m;
  const estimate = mean(estimates), within = mean(variances);
  const between = estimates.reduce((sum, v) => sum + (v - estimate) ** 2, 0) / (m - 1);
  const extra = (1 + 1 / m) * between, total = within + extra, share = extra / total;
  const fromImputations = (m - 1) / share ** 2; // Infinity where all data sets agree
  const observed = completeDf === Infinity ? Infinity : ((completeDf + 1) / (completeDf + 3)) * completeDf * (1 - share);
  const df = 1 / (1 / fromImputations + 1 / observed);
  const standardError = Math.sqrt(total), margin = studentTQuantile((1 + confidence) / 2, df) * standardError;
  const relative = extra / within;
  return {
    estimate, standardError, lower: estimate - margin, upper: estimate + margin, df, p: studentTP(estimate / standardError, df),
    within, between, fractionMissing: (relative + 2 / (df + 3)) / (1 + relative),
  };
}
