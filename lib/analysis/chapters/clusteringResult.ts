import type { NotEstimable } from '../../stats/cells';
import type { Estimate, HazardRatio } from '../result';
import type { Basis } from './basis';

/** What becomes of the adjusted ratios when the procedures of one patient, hospital or surgeon are not taken for independent. */
export interface Clustering extends Basis {
  readonly status: 'ok';
  readonly reference: string;
  readonly adjustedFor: readonly string[];
  readonly leftOut: readonly { readonly covariate: string; readonly missing: number }[];
  /** One fit, with its own limits (`none`) and with robust ones. */
  readonly errors: readonly ClusteredRatios[];
  readonly frailty: FrailtyRatios | NotEstimable;
}

export interface ClusteredRatios {
  readonly unit: 'none' | 'patient' | 'hospital' | 'surgeon';
  readonly label: string;
  readonly asked: boolean; // the one that the question names
  readonly clusters: number; // 0 for `none`
  readonly few: boolean; // fewer than 30: robust limits tend to be too narrow
  readonly ratios: readonly HazardRatio[] | NotEstimable; // groups against the reference
}

/** A hazard of each hospital's own, drawn from a gamma distribution of mean 1: the ratios are those within a hospital. */
export interface FrailtyRatios {
  readonly status: 'ok';
  readonly unit: 'hospital';
  readonly clusters: number;
  /** Variance of the hospitals' hazards, whose mean is 1; 0: no more variation than chance makes. */
  readonly variance: Estimate;
  /** Likelihood-ratio test that the variance is 0, at the edge of its range. */
  readonly test: { readonly chisq: number; readonly p: number };
  readonly ratios: readonly HazardRatio[]; // groups against the reference, of two procedures at one hospital
  /** Smallest and largest estimated hazard of a hospital, against a mean of 1. */
  readonly spread: { readonly smallest: number; readonly largest: number };
}
