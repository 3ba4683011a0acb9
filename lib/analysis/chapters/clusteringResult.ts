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
  /** Variance of the hospitals' hazards; 0: no sign that they differ. */
  readonly variance: number;
  /** Likelihood-ratio test that the variance is 0, halved as it is at the edge of its range; NaN: not estimable. */
  readonly p: number;
  readonly ratios: readonly HazardRatio[];
  /** Largest and smallest estimated hazard of a hospital against the mean. */
  readonly spread: Pick<Estimate, 'lower' | 'upper'>;
}
