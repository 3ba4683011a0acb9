import type { NotEstimable } from '../../stats/cells';
import type { AtTime, CoxResult, Curve, Estimate, HazardRatio } from '../result';
import type { Basis } from './basis';

/** Every group as it would be with the case mix of the whole cohort, in two ways, beside the groups as they are; all from the same procedures. */
export interface SameCaseMix extends Basis, Pick<CoxResult, 'adjustedFor' | 'leftOut'> {
  readonly status: 'ok';
  readonly reference: string;
  readonly groups: readonly { readonly group: string; readonly label: string; readonly procedures: number; readonly events: number }[];
  /** As the groups are: 1 − KM. */
  readonly crude: CaseMixCurves;
  /** The mean over the cohort of what a Cox model with a baseline per group predicts. */
  readonly standardised: CaseMixCurves | NotEstimable;
  /** Procedures weighted by the inverse of the probability of the group that they received. */
  readonly weighted: WeightedCurves | NotEstimable;
}

export interface CaseMixCurves {
  readonly status: 'ok';
  /** In the order of the groups. Standardised ones are read at whole months instead of at every event; numbers at risk are the group's own. */
  readonly curves: readonly (Curve | NotEstimable)[];
  readonly atTimes: readonly AtTime[];
  readonly contrasts: readonly CaseMixContrast[]; // every group but the reference, at each time asked for
}

export interface CaseMixContrast {
  readonly years: number;
  readonly group: string;
  readonly label: string;
  readonly difference: Estimate | NotEstimable; // percentage points, group less reference
  readonly ratio: Estimate | NotEstimable; // of the percents
}

export interface WeightedCurves extends CaseMixCurves {
  /** Numbers at risk in `curves` and `atTimes` are effective ones: how many procedures of equal weight would be as informative. */
  readonly weights: readonly {
    readonly group: string;
    readonly label: string;
    readonly procedures: number;
    readonly effectiveSize: number;
    readonly largest: number; // weight, in multiples of the group's mean
    readonly extremePercent: number; // of procedures, with a weight above 10 times the mean
  }[];
  readonly balance: readonly BalanceRow[];
  readonly ratios: readonly HazardRatio[] | NotEstimable; // groups against the reference, limits robust
}

/** A level of a covariate, or the mean of a measurement, without and with weights. */
export interface BalanceRow {
  readonly covariate: string;
  readonly label: string; // of the covariate
  readonly level: string | null; // label; null: a measurement
  readonly before: BalanceSide;
  readonly after: BalanceSide;
}

export interface BalanceSide {
  readonly values: readonly number[]; // per group: percent of the level, or mean
  readonly largestDifference: number; // largest absolute standardised difference between two groups; Infinity: all against none
}
