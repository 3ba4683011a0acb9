import type { NotEstimable } from '../../stats/cells';
import type { ProceduresPerRevision } from '../../stats/proceduresPerRevision';
import type { Estimate } from '../result';
import type { Basis } from './basis';

/** Absolute differences, and how the risk goes with time since surgery. */
export interface Difference extends Basis {
  readonly status: 'ok';
  readonly reference: string;
  readonly contrasts: readonly Contrast[]; // every group but the reference, group less reference
  readonly restrictedMean: RestrictedMeans | NotEstimable;
  readonly conditional: readonly ConditionalRow[];
  readonly hazards: readonly HazardCurve[];
}

export interface Contrast { readonly group: string; readonly label: string; readonly atTimes: readonly ContrastAtTime[] }

export interface ContrastAtTime {
  readonly years: number;
  readonly atRisk: { readonly group: number; readonly reference: number };
  readonly events: { readonly group: number; readonly reference: number }; // up to and including this time
  readonly unadjusted: PercentContrast & { readonly test: { readonly status: 'ok'; readonly chisq: number; readonly df: number; readonly p: number } | NotEstimable };
  /** Both groups with the case mix of the whole cohort. */
  readonly adjusted: PercentContrast;
  /** From the adjusted difference alone; `fewer` is to the credit of the group. */
  readonly proceduresPerRevision: ProceduresPerRevision | NotEstimable;
}

export interface PercentContrast {
  readonly difference: Estimate | NotEstimable; // percentage points, below 0: the group is revised less
  readonly ratio: Estimate | NotEstimable; // of the percents
}

/** Mean days free of revision, of the first `horizonDay` days. */
export interface RestrictedMeans {
  readonly status: 'ok';
  readonly horizonDay: number;
  /** What set it: the horizon of the question, or the earliest stop, that of the group `stoppedBy`. */
  readonly stoppedBy: string | null;
  readonly groups: readonly { readonly group: string; readonly label: string; readonly procedures: number; readonly atRisk: number; readonly days: Estimate | NotEstimable }[];
  readonly differences: readonly { readonly group: string; readonly label: string; readonly days: Estimate | NotEstimable; readonly p: number }[]; // p NaN: a group without revisions
}

/** Percent revised by `years` of those unrevised at `fromYears`. */
export interface ConditionalRow {
  readonly group: string;
  readonly label: string;
  readonly fromYears: number;
  readonly years: number;
  readonly atRiskFrom: number;
  readonly atRisk: number;
  readonly events: number; // between the two
  readonly estimate: Estimate | NotEstimable;
}

/** Smoothed revisions per 100 component-years at each time since surgery. */
export interface HazardCurve {
  readonly group: string;
  readonly label: string;
  readonly procedures: number;
  readonly events: number;
  readonly curve: {
    readonly status: 'ok';
    readonly bandwidthDays: number;
    readonly days: Float64Array;
    readonly per100: Float64Array; // 0: no revision within reach; NaN: a gap
    readonly lower: Float64Array; // NaN: no limit
    readonly upper: Float64Array;
    readonly atRisk: Float64Array;
  } | NotEstimable;
}
