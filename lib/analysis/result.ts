import type { Question } from '../contract/question';
import type { Source } from '../engine/loadedExtract';
import type { NotEstimable } from '../stats/cells';

// What a question is answered with. Percentages 0–100, times in whole days, all at full precision: rounding is for display.

export interface Estimate { readonly value: number; readonly lower: number; readonly upper: number }

/** One step of the way from all kept procedures to the cohort. */
export interface AttritionStep { readonly label: string; readonly excluded: number; readonly remaining: number }

export interface Group {
  readonly key: string; // code of the level
  readonly label: string;
  readonly procedures: number;
  readonly patients: number;
  readonly events: number; // of the chosen outcome, up to the horizon, as are competing events and component-years
  readonly competing: { readonly otherRevisions: number; readonly deaths: number };
  readonly componentYears: number;
  readonly hospitals: number; // 0: none is recorded
  readonly surgeons: number;
  readonly largestHospitalShare: number; // percent of the group's procedures at its largest user; NaN: none is recorded
  readonly largestSurgeonShare: number;
  readonly firstYear: number;
  readonly lastYear: number;
  readonly medianFollowUpDays: number; // reverse Kaplan–Meier, whatever the horizon; NaN: not reached
}

/** Case mix side by side: per characteristic, per level, a count and percent per group in the order of `groups`; missing is a level. */
export interface CaseMix {
  readonly characteristic: string;
  readonly label: string;
  readonly levels: readonly { readonly key: string; readonly label: string; readonly counts: readonly number[]; readonly percents: readonly number[] }[];
  readonly largestDifference: number; // largest absolute standardised difference between two groups over the levels; Infinity: all against none
}

/** Procedures per calendar year and group. */
export interface CalendarOverlap { readonly years: readonly number[]; readonly counts: readonly (readonly number[])[] } // counts[group][year]

/**
 * A step curve: point i holds from days[i] until days[i + 1]. Begins at day 0, stops at `stop.day`; without any point where too few
 * are at risk from the start.
 */
export interface Curve {
  readonly group: string;
  readonly days: Float64Array;
  readonly percent: Float64Array; // cumulative percent revision
  readonly lower: Float64Array; // NaN: no limit there
  readonly upper: Float64Array;
  readonly atRisk: Float64Array; // just before days[i]
  readonly stop: { readonly day: number; readonly atRisk: number; readonly stopped: boolean }; // stopped: the stop rule ended it before the last follow-up
  readonly thinFromDay: number | null; // below 10 % of the starting number from here
}

/** One group at one time. */
export interface AtTime {
  readonly years: number;
  readonly group: string;
  readonly atRisk: number;
  readonly events: number; // up to and including this time
  readonly estimate: Estimate | NotEstimable;
}

export interface Rate { readonly group: string; readonly events: number; readonly componentYears: number; readonly per100: Estimate | NotEstimable }

export interface HazardRatio {
  readonly term: string; // `group` or a covariate
  readonly level: string;
  readonly label: string;
  readonly against: string | null; // label of the reference level; null for a continuous covariate
  readonly procedures: number;
  readonly events: number;
  readonly estimate: Estimate | NotEstimable; // robust limits where a cluster is set
  readonly p: number;
  readonly ownLimits?: string; // why limits and p are the model's own although a cluster is set
}

export interface ProportionalHazards { readonly term: string; readonly label: string; readonly chisq: number; readonly df: number; readonly p: number }

export interface CoxResult {
  readonly status: 'ok';
  readonly adjustedFor: readonly string[]; // labels
  readonly reference: string; // key of the reference group
  readonly procedures: number; // complete cases in the fit
  readonly events: number;
  readonly leftOut: readonly { readonly covariate: string; readonly missing: number }[];
  readonly clusterLabel: string | null;
  readonly clusters: number;
  readonly ratios: readonly HazardRatio[]; // groups first, then covariates
  readonly proportionalHazards: readonly ProportionalHazards[] | NotEstimable; // per term, then `global`
  readonly groupsProportional: boolean; // the test of the term `group` has p ≥ 0.05
  readonly notes: readonly string[]; // dropped columns, few events per coefficient, few clusters …
}

/** A model before its assumption is tested. */
export type CoxRatios = Omit<CoxResult, 'proportionalHazards' | 'groupsProportional'>;

export interface PeriodRatios {
  readonly fromDay: number;
  readonly toDay: number | null; // null: to the end
  readonly ratios: readonly HazardRatio[]; // groups against the reference, within the period
}

export interface LogRank { readonly status: 'ok'; readonly chisq: number; readonly df: number; readonly p: number; readonly stratified: boolean }

export interface Analysis {
  readonly status: 'ok';
  readonly question: Question;
  readonly source: Source;
  readonly notes: readonly string[]; // groups left out and other things that a reader must know of the whole
  readonly attrition: readonly AttritionStep[];
  readonly groups: readonly Group[];
  readonly reference: string;
  readonly caseMix: readonly CaseMix[];
  readonly calendar: CalendarOverlap;
  readonly curves: readonly Curve[];
  readonly atTimes: readonly AtTime[];
  readonly riskTable: { readonly days: readonly number[]; readonly atRisk: readonly (readonly number[])[] }; // atRisk[group][day]
  readonly rates: readonly Rate[];
  readonly logRank: LogRank | NotEstimable;
  readonly unadjusted: CoxResult | NotEstimable;
  readonly adjusted: CoxResult | NotEstimable; // equal to `unadjusted` where nothing is adjusted for
  readonly periods: readonly PeriodRatios[] | NotEstimable;
}

/** What an answer begins with, before the groups are compared. None of its numbers changes any more. */
export interface AnsweredCurves extends Pick<Analysis, 'question' | 'source' | 'reference' | 'curves' | 'atTimes' | 'riskTable' | 'rates'> {
  readonly groups: readonly Pick<Group, 'key' | 'label' | 'procedures' | 'events'>[];
}

/** What it goes on with, before the assumption of the model is tested. */
export interface AnsweredRatios extends AnsweredCurves, Pick<Analysis, 'logRank'> { readonly adjusted: CoxRatios | NotEstimable }

/** The cohort is empty, or has fewer than two groups to compare (then `Analysis` still has the curve). */
export interface NothingToShow { readonly status: 'empty'; readonly reason: string; readonly attrition: readonly AttritionStep[] }
