import { normalP, normalQuantile } from '../distributions/normal';
import type { CoxFit } from './cox';
import type { TermNotEstimable } from './termReason';

/** The hazard ratio of one unit of a column. */
export interface HazardRatio {
  readonly status: 'ok';
  readonly name: string;
  readonly coefficient: number; // natural logarithm of the ratio
  readonly standardError: number; // of the coefficient
  readonly ratio: number;
  readonly lower: number;
  readonly upper: number;
  readonly z: number;
  readonly p: number; // two-sided
}

export interface HazardRatioOptions {
  /** Two-sided, 0–1; default 0.95. */
  readonly confidence?: number;
  /** Default: the model-based one of the fit. */
  readonly covariance?: Float64Array;
}

/** One entry per column of the design, with limits and p-value from the given covariance (model-based or robust). */
export function hazardRatios(fit: Pick<CoxFit, 'names' | 'coefficient' | 'covariance' | 'notEstimable'>, { confidence = 0.95, covariance = fit.covariance }: HazardRatioOptions = {}): (HazardRatio | (TermNotEstimable & { readonly name: string }))[] {
  const margin = -normalQuantile((1 - confidence) / 2), columns = fit.names.length;
  return fit.names.map((name, j) => {
    const missing = fit.notEstimable[j];
    if (missing) return { ...missing, name };
    const coefficient = fit.coefficient[j]!, standardError = Math.sqrt(covariance[j * columns + j]!), z = coefficient / standardError;
    return {
      status: 'ok', name, coefficient, standardError, ratio: Math.exp(coefficient), z, p: normalP(z),
      lower: Math.exp(coefficient - margin * standardError),
      upper: Math.exp(coefficient + margin * standardError),
    };
  });
}
