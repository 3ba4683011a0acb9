import type { NotEstimable } from '../../stats/cells';
import type { Curve, Estimate, HazardRatio } from '../result';
import type { Basis } from './basis';

/** Revision where patients also die, or have a revision that is not the event of interest. */
export interface CompetingRisks extends Basis {
  readonly status: 'ok';
  readonly reference: string;
  readonly groups: readonly CompetingGroup[];
  /** Gray's test that the groups have one cumulative incidence, over the strata of the question. */
  readonly gray: { readonly revision: GrayTest | NotEstimable; readonly death: GrayTest | NotEstimable };
  readonly ratios: CompetingRatios | NotEstimable;
  /** Groups of reasons with an event in some group, in the order in which they are stacked, the lowest first. */
  readonly reasons: readonly { readonly key: string; readonly label: string }[];
  /** In some group, at some time asked for, 1 − KM is more than 1 point above the cumulative incidence: the two must not be taken for each other. */
  readonly gapPrompt: boolean;
}

export interface CompetingGroup {
  readonly group: string;
  readonly label: string;
  readonly procedures: number;
  readonly events: { readonly revision: number; readonly otherRevision: number; readonly death: number };
  readonly curves: {
    readonly ifNoneDied: Curve; // 1 − KM: percent revised if competing events did not happen
    readonly revision: Curve; // cumulative incidence, as are the next two
    readonly otherRevision: Curve | null; // null: the outcome leaves none
    readonly death: Curve;
  };
  readonly atTimes: readonly CompetingAtTime[];
  /** In the order of `reasons`; their curves have the same days as `curves.revision`, and their percents add up to its percent. */
  readonly reasons: readonly ReasonIncidence[];
}

export interface CompetingAtTime {
  readonly years: number;
  readonly atRisk: number;
  readonly events: { readonly revision: number; readonly otherRevision: number; readonly death: number };
  readonly ifNoneDied: Estimate | NotEstimable;
  readonly revision: Estimate | NotEstimable;
  readonly otherRevision: Estimate | NotEstimable | null;
  readonly death: Estimate | NotEstimable;
  readonly gap: number; // percentage points by which `ifNoneDied` is above `revision`; NaN: not estimable
}

export interface ReasonIncidence {
  readonly reason: string; // key
  readonly events: number;
  readonly curve: Curve;
  readonly atTimes: readonly { readonly years: number; readonly events: number; readonly estimate: Estimate | NotEstimable }[];
}

/** Of the procedures followed from the day of surgery: the test knows no late entry. */
export interface GrayTest {
  readonly status: 'ok';
  readonly chisq: number;
  readonly df: number;
  readonly p: number;
  readonly procedures: number;
  readonly leftOut: number;
}

/** Side by side, from the same procedures and with the same adjustment. */
export interface CompetingRatios {
  readonly status: 'ok';
  readonly adjustedFor: readonly string[];
  readonly procedures: number; // complete cases
  readonly leftOut: readonly { readonly covariate: string; readonly missing: number }[];
  readonly clusterLabel: string | null; // of the two cause-specific models
  readonly groups: readonly {
    readonly group: string;
    readonly label: string;
    readonly revision: HazardRatio; // cause-specific
    readonly death: HazardRatio; // cause-specific; its events are deaths
    readonly subdistribution: HazardRatio; // of revision (Fine & Gray), robust limits throughout
  }[];
}
