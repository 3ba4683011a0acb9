import type { AttritionStep, Estimate } from '../analysis/result';
import type { MeasureSection } from '../contract/measures';
import type { VisitWindowCode } from '../contract/visitWindows';
import type { VisitsQuestion } from '../contract/visitsQuestion';
import type { Source } from '../engine/loadedExtract';
import type { NotEstimable } from '../stats/cells';

// What a question about follow-up visits is answered with. Percentages and percentage points 0–100, times in whole days, all at full precision.
// Arrays per group are in the order of `groups`. “Against” is always the reference group.

export interface VisitGroup {
  readonly key: string;
  readonly label: string;
  readonly procedures: number; // with a planned or recorded visit
  readonly patients: number;
  readonly bothSides: number; // patients with both joints among them
  readonly withoutVisits: number; // procedures of the cohort of which no visit was planned or recorded: not in anything below
}

/** How many of a group came to a visit. due = seen + missed + notRecorded; due + notDue = procedures of the group. */
export interface VisitCount {
  readonly group: string;
  readonly window: VisitWindowCode;
  readonly due: number; // the planned day was reached with the implant in place, the patient alive and in sight; or seen earlier
  readonly seen: number;
  readonly missed: number; // recorded as missed
  readonly notRecorded: number; // due, but the extract has neither a visit nor a missed one
  readonly notDue: number; // revised, died, left or closed before the planned day
  readonly outsideWindow: number; // of those seen, dated outside the bounds of the window; counted all the same
  readonly percentSeen: Estimate | NotEstimable; // of those due, Wilson
}

/** A sign in one group at one visit. Not assessed = seen − assessed. */
export interface Prevalence {
  readonly group: string;
  readonly due: number;
  readonly seen: number;
  readonly assessed: number;
  readonly present: number;
  readonly percent: Estimate | NotEstimable; // of those assessed, Wilson
  /** The same with the number assessed divided by the design effect of patients with both sides; equal where nobody has. */
  readonly allowingForBothSides: Estimate | NotEstimable;
  /** Percent of all due if none, and if all, of those not assessed had the sign. */
  readonly ifLost: { readonly none: number; readonly all: number } | null; // null: none due
}

/** One group against the reference, in percentage points. */
export interface PrevalenceDifference {
  readonly group: string;
  readonly against: string;
  readonly points: Estimate | NotEstimable; // Newcombe, method 10
  /** The same with the numbers of each group divided by its design effect. A patient with one shoulder in each group is taken as two. */
  readonly allowingForBothSides: Estimate | NotEstimable;
  /** The least and the most that the difference could be, whatever those due but not assessed had. */
  readonly ifLost: { readonly least: number; readonly most: number } | null;
}

export interface SignAtVisit {
  readonly measure: string;
  readonly label: string;
  readonly present: string; // what counts as the sign, in words
  readonly section: MeasureSection;
  readonly window: VisitWindowCode;
  readonly groups: readonly Prevalence[];
  readonly differences: readonly PrevalenceDifference[];
}

/** A sign zone by zone. */
export interface ZoneMap {
  readonly sign: string;
  readonly label: string;
  readonly structure: 'humerus' | 'glenoid';
  readonly window: VisitWindowCode;
  readonly zones: readonly {
    readonly zone: string;
    readonly label: string;
    readonly groups: readonly { readonly group: string; readonly assessed: number; readonly present: number; readonly percent: Estimate | NotEstimable }[];
  }[];
}

/** Ordered grades at one visit. */
export interface GradesAtVisit {
  readonly measure: string;
  readonly label: string;
  readonly section: MeasureSection;
  readonly window: VisitWindowCode;
  readonly levels: readonly { readonly code: string; readonly label: string }[];
  readonly counts: readonly (readonly number[])[]; // counts[group][level]
  readonly comparisons: readonly GradeComparison[];
  /** Whether one odds ratio serves every cut between grades, for all groups at once. */
  readonly proportionalOdds: { readonly status: 'ok'; readonly chisq: number; readonly df: number; readonly p: number } | NotEstimable;
  readonly adjustedFor: readonly string[];
  readonly notes: readonly string[];
}
export interface GradeComparison {
  readonly group: string;
  readonly against: string;
  /** Chance, 0–1, that one of the group has a higher grade than one of the reference, ties counting half. */
  readonly higher: Estimate | NotEstimable;
  readonly oddsRatio: Estimate | NotEstimable; // of a higher grade, by the proportional-odds model
  readonly p: number; // NaN without a ratio
}

/** A measured amount at one visit. */
export interface AmountAtVisit {
  readonly measure: string;
  readonly label: string;
  readonly unit: string;
  readonly section: MeasureSection;
  readonly window: VisitWindowCode;
  readonly groups: readonly Amount[];
  /** Differences of means, or of changes adjusted for the baseline where the measure has one. */
  readonly differences: readonly AmountDifference[];
  readonly adjustedFor: readonly string[]; // labels; `baseline` where the measure has one
  readonly notes: readonly string[];
}
export interface Amount {
  readonly group: string;
  readonly due: number;
  readonly seen: number;
  readonly assessed: number;
  readonly mean: Estimate | NotEstimable;
  readonly standardDeviation: number; // NaN below two
  readonly atLeast: number; // number at the lowest end of the scale; 0 where it has no ends
  readonly atMost: number;
  /** Of those assessed both before the procedure and now; null: no baseline to this measure, or the baseline itself. */
  readonly change: { readonly both: number; readonly mean: Estimate | NotEstimable } | null;
  /** Share of them whose change is at least the important difference, in the better direction; null unless the question names one for this measure. */
  readonly important: {
    readonly count: number;
    readonly percent: Estimate | NotEstimable; // Wilson
    /** Percent of all due if none, and if all, of those without both values had it. */
    readonly ifLost: { readonly none: number; readonly all: number } | null; // null: none due
  } | null;
}
export interface AmountDifference {
  readonly group: string;
  readonly against: string;
  readonly procedures: number; // in the model
  readonly estimate: Estimate | NotEstimable; // least squares, robust limits
  readonly p: number;
  readonly importantPoints: Estimate | NotEstimable | null; // difference of the shares with an important change; Newcombe, method 10
}

/** All visits after the procedure in one model: generalised estimating equations, exchangeable within a patient. */
export interface RepeatedMeasure {
  readonly measure: string;
  readonly label: string;
  readonly unit: string | null; // null: a sign, whose estimates are odds ratios
  readonly procedures: number;
  readonly visits: number;
  readonly patients: number;
  readonly correlation: number; // working correlation between two visits of a patient
  readonly adjustedFor: readonly string[];
  /** An amount: difference at each visit; a sign: one odds ratio over all visits (`window` null). */
  readonly differences: readonly { readonly group: string; readonly against: string; readonly window: VisitWindowCode | null; readonly estimate: Estimate | NotEstimable; readonly p: number }[];
  /** That the groups do not differ at any visit; by the robust covariance. */
  readonly test: { readonly status: 'ok'; readonly chisq: number; readonly df: number; readonly p: number } | NotEstimable;
  readonly notes: readonly string[];
}

/** Time to a first sign, known only between visits. */
export interface FirstSign {
  readonly measure: string;
  readonly label: string;
  readonly groups: readonly FirstSignOfGroup[];
  readonly differences: readonly { readonly group: string; readonly against: string; readonly years: number; readonly points: Estimate | NotEstimable }[];
  readonly notes: readonly string[];
}
export interface FirstSignOfGroup {
  readonly group: string;
  readonly procedures: number; // assessed at least once
  readonly seenAtFirst: number; // at the first visit that assessed it
  readonly seenLater: number; // between two visits
  readonly neverSeen: number;
  readonly laterNotSeen: number; // seen once, and absent at a later visit: taken as present from the first time on
  /** Percent with the sign by the end of each interval; nothing is known of where in the interval it came. */
  readonly steps: readonly { readonly fromDay: number; readonly toDay: number; readonly percent: number; readonly lower: number; readonly upper: number }[];
  readonly atYears: readonly { readonly years: number; readonly estimate: Estimate | NotEstimable }[];
}

export interface SignRatio {
  readonly procedures: readonly [without: number, withSign: number];
  readonly events: readonly [without: number, withSign: number];
  readonly estimate: Estimate | NotEstimable; // hazard ratio of later revision, with the sign against without
  readonly p: number;
  readonly notes: readonly string[];
}

/** Whether a sign goes with later revision. */
export interface EarlyWarning {
  readonly measure: string;
  readonly label: string;
  readonly present: string;
  readonly adjustedFor: readonly string[];
  /** Those unrevised at the landmark whom a visit up to then assessed, by whether the sign had been seen. */
  readonly landmarks: readonly (SignRatio & { readonly years: number; readonly atRisk: number; readonly notAssessed: number })[];
  /** The sign as a covariate that changes on the day it is first seen; counted from the first visit that assessed it. `procedures` changed to the sign, or never. */
  readonly changing: SignRatio & { readonly notAssessed: number };
}

/** Two readers of the same radiographs. */
export interface Agreement {
  readonly measure: string;
  readonly label: string;
  readonly levels: readonly { readonly code: string; readonly label: string }[];
  readonly counts: readonly (readonly number[])[]; // counts[first reader][second reader]
  readonly read: number;
  readonly same: number;
  readonly weightedKappa: Estimate | NotEstimable; // quadratic weights
}

export interface VisitsAnalysis {
  readonly status: 'ok';
  readonly question: VisitsQuestion;
  readonly source: Source;
  readonly attrition: readonly AttritionStep[];
  readonly groups: readonly VisitGroup[];
  readonly reference: string;
  readonly windows: readonly VisitWindowCode[]; // asked for and in the extract, in order
  readonly recorded: readonly string[]; // names of the measures that the cohort has any value of, whatever was asked
  readonly instruments: readonly { readonly code: string | null; readonly visits: number }[]; // of the score totals
  readonly visits: readonly VisitCount[];
  readonly signs: readonly SignAtVisit[];
  readonly zones: readonly ZoneMap[];
  readonly grades: readonly GradesAtVisit[];
  readonly amounts: readonly AmountAtVisit[];
  readonly repeated: readonly RepeatedMeasure[];
  readonly firstSigns: readonly FirstSign[];
  readonly earlyWarnings: readonly EarlyWarning[];
  readonly agreement: Agreement | null; // null: nothing was read twice
  readonly methods: readonly string[];
  readonly notes: readonly string[];
  readonly cautions: readonly string[];
}

export interface NoVisits { readonly status: 'empty'; readonly reason: string; readonly attrition: readonly AttritionStep[] }
