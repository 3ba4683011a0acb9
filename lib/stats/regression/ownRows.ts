import type { NotEstimable } from '../cells';

/** A regression's data row by row: `values` row-major, a column per name, without an intercept. */
export interface Rows {
  readonly names: readonly string[];
  readonly values: Float64Array;
  /** Rows of one cluster share a number of at least 0; −1, or absent: each row is a cluster of its own. */
  readonly cluster?: Int32Array;
}

/** Estimates of a regression on the scale of its design, intercept or thresholds first; NaN for columns that are combinations of others. */
export interface RowsFit {
  readonly status: 'ok';
  readonly coefficient: Float64Array;
  /** Robust (sandwich), of all coefficients in their order. */
  readonly covariance: Float64Array;
  readonly rows: number;
  readonly clusters: number;
}
export type FitOrNot<F extends RowsFit = RowsFit> = F | NotEstimable;

export const ones = (rows: number): Float64Array => new Float64Array(rows).fill(1);
