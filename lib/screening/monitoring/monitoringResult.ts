import type { AttritionStep } from '../../analysis/result';
import type { LookPeriod, MonitoringQuestion, SubjectKind } from '../../contract/monitoringQuestion';
import type { Source } from '../../engine/loadedExtract';
import type { NotEstimable } from '../../stats/cells';
import type { CusumThreshold } from './cusumThreshold';

// What a chart over calendar time is made of. Days are counted from 1970-01-01, shares are 0–1, all at full precision.

/** A day on which people look: the end of each month, quarter or year, and the last day of the chart. */
export interface Look { readonly day: number; readonly observed: number; readonly expected: number; readonly value: number } // up to and including the day

export interface MonitoredPeriod {
  readonly firstDay: number;
  readonly lastDay: number;
  readonly closingDay: number; // of the extract
  readonly looks: LookPeriod;
  readonly beforeOpening: boolean; // the chart was asked to begin before the registry opened
  readonly intoLag: boolean; // the chart was asked to go on into the time for which reports are still coming in
}

/** Whom the subject is held against. */
export interface MonitoredReference {
  readonly status: 'ok';
  readonly label: string; // in running text
  readonly procedures: number;
  readonly revisions: number;
  readonly ownShare: number; // of the subject, of all those procedures and its own
  readonly leftOut: boolean; // it is not among them
  readonly adjustedFor: readonly string[];
  readonly untilDay: number; // since surgery: nothing is expected, and no revision counted, beyond
}

export interface Signal {
  readonly day: number;
  readonly value: number;
  readonly observed: number; // since the chart's first day
  readonly expected: number;
  readonly look: number | null; // number of the look that sees it first, from 1
}

/** The chart itself. Entry t of the columns is of day `firstDay` + t. */
export interface MonitoringChart {
  readonly status: 'ok';
  readonly value: Float64Array;
  readonly limit: CusumThreshold;
  /** Revisions expected in the years that the limit is for, and from what time of the chart their accrual is taken. */
  readonly accrual: { readonly expected: number; readonly fromDay: number; readonly repeated: boolean };
  /** Chance of any signal over all the days drawn, although the risk is the expected one. */
  readonly byChance: number;
  readonly signals: readonly Signal[];
  readonly resets: readonly number[]; // days
  readonly sprt: { readonly value: number; readonly upper: number; readonly lower: number; readonly decision: { readonly day: number; readonly side: 'higher' | 'asExpected' } | null };
  readonly maxSprt: { readonly status: 'ok'; readonly value: number; readonly criticalValue: number; readonly signal: number | null } | NotEstimable; // signal: day
}

export interface MonitoredYear { readonly year: number; readonly observed: number; readonly expected: number }

export interface Monitoring {
  readonly status: 'ok';
  readonly question: MonitoringQuestion;
  readonly subject: { readonly kind: SubjectKind; readonly id: string };
  readonly source: Source;
  readonly attrition: readonly AttritionStep[];
  readonly procedures: number; // of the subject, with every covariate recorded
  readonly leftOut: number; // of the subject, without one of the covariates
  readonly incomparable: number; // of the subject, unlike any of the reference
  readonly period: MonitoredPeriod;
  readonly reference: MonitoredReference | NotEstimable;
  readonly observed: Float64Array; // revisions on each day
  readonly expected: Float64Array;
  readonly looks: readonly Look[];
  readonly years: readonly MonitoredYear[];
  readonly chart: MonitoringChart | NotEstimable;
  readonly methods: readonly string[];
  readonly notes: readonly string[];
}

/** One of many charts, all with limits found by the same rule. */
export interface MonitoredLine {
  readonly id: string;
  readonly design: string | null; // of a model, the design class that it is held against
  readonly procedures: number;
  readonly observed: number;
  readonly expected: number;
  readonly limit: CusumThreshold | NotEstimable;
  readonly byChance: number; // chance of any signal over the days drawn; NaN without a limit
  readonly signals: readonly number[]; // days; the chart starts again after each
  readonly value: number; // on the last day
}

export interface MonitoringOverview {
  readonly status: 'ok';
  readonly question: MonitoringQuestion;
  readonly source: Source;
  readonly attrition: readonly AttritionStep[];
  readonly lines: readonly MonitoredLine[]; // most expected revisions first
  readonly lastDay: number;
  readonly adjustedFor: readonly string[];
  readonly leftOut: readonly { readonly covariate: string; readonly missing: number }[];
  readonly methods: readonly string[];
  readonly notes: readonly string[];
}

export interface NotMonitored { readonly status: 'empty'; readonly reason: string; readonly attrition: readonly AttritionStep[] }
