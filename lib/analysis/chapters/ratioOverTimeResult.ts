import type { NotEstimable } from '../../stats/cells';
import type { CoxResult, HazardRatio, PeriodRatios } from '../result';
import type { Basis } from './basis';

/** How the adjusted ratio of the groups goes with time since surgery. */
export interface RatioOverTime extends Basis, Pick<CoxResult, 'adjustedFor' | 'leftOut'> {
  readonly status: 'ok';
  readonly reference: string;
  /** False: the ratios of `found` and `smooth` lead, and the single one stands behind. */
  readonly groupsProportional: boolean;
  readonly test: ProportionalityTest | NotEstimable; // of the groups
  readonly single: readonly HazardRatio[] | NotEstimable; // one ratio for all time, every group but the reference
  readonly found: FoundPeriods | NotEstimable;
  readonly smooth: readonly SmoothRatio[]; // every group but the reference
}

export interface ProportionalityTest { readonly status: 'ok'; readonly chisq: number; readonly df: number; readonly p: number }

/** Exploratory: the cuts were found in the same data, so that the limits of the ratios are too narrow. */
export interface FoundPeriods {
  readonly status: 'ok';
  readonly cuts: readonly FoundCut[]; // in the order of trial; the last one may have been refused
  readonly periods: readonly PeriodRatios[]; // between the accepted cuts; one if none was accepted
  readonly within: readonly (ProportionalityTest | NotEstimable)[]; // per period: that its ratios stay the same within it
}

export interface FoundCut {
  readonly day: number;
  readonly chisq: number;
  readonly df: number;
  readonly p: number; // for a day fixed beforehand
  readonly candidates: number; // days among which it was chosen
  readonly needed: number; // p has to be below this
  readonly accepted: boolean;
}

export interface SmoothRatio {
  readonly group: string;
  readonly label: string;
  readonly curve: {
    readonly status: 'ok';
    readonly days: Float64Array;
    readonly ratio: Float64Array;
    readonly lower: Float64Array; // pointwise
    readonly upper: Float64Array;
    readonly atRisk: Float64Array; // of the group
  } | NotEstimable;
}
