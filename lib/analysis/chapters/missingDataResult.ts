import type { NotEstimable } from '../../stats/cells';
import type { HazardRatio } from '../result';
import type { Basis } from './basis';

/** What is not recorded of the covariates, and whether leaving those procedures out matters. */
export interface MissingData extends Basis {
  readonly status: 'ok';
  readonly reference: string;
  readonly adjustedFor: readonly string[];
  readonly groups: readonly {
    readonly group: string;
    readonly label: string;
    readonly procedures: number;
    readonly complete: number; // procedures with every covariate recorded
  }[];
  readonly covariates: readonly MissingCovariate[];
  readonly completeCase: MissingDataRatios | NotEstimable;
  readonly imputed: ImputedRatios | NotEstimable;
  /** Every group but the reference. Empty where one of the two has no estimates. */
  readonly comparison: readonly MissingDataComparison[];
}

export interface MissingCovariate {
  readonly covariate: string;
  readonly label: string;
  readonly missing: readonly number[]; // per group, in the order of `groups`
  readonly percents: readonly number[];
}

export interface MissingDataRatios {
  readonly status: 'ok';
  readonly procedures: number;
  readonly events: number;
  readonly ratios: readonly HazardRatio[]; // every group but the reference
}

export interface ImputedRatios extends MissingDataRatios {
  readonly imputations: number;
  readonly seed: number;
  /** Per ratio: the share (0–1) of its variance that comes from what is missing. */
  readonly missingInformation: readonly number[];
}

export interface MissingDataComparison {
  readonly group: string;
  readonly label: string;
  readonly shift: number; // imputed ratio in multiples of the complete-case one; NaN: one has no estimate
  /** The ratios are more than 10 % apart, or the limits of one include 1 and those of the other do not. Both are to be shown then. */
  readonly differ: boolean;
}
