import type { AttritionStep, AtTime, CaseMix, Curve, Estimate } from '../../analysis/result';
import type { ChosenUnit, UnitsQuestion } from '../../contract/unitsQuestion';
import type { Source } from '../../engine/loadedExtract';
import type { NotEstimable } from '../../stats/cells';
import type { BenchmarkVerdict } from '../benchmark/benchmarkVerdict';
import type { Funnel } from '../funnel/funnel';
import type { RatioSpread } from '../shrinkage/gammaPoisson';
import type { ShrunkenRatio } from '../shrinkage/shrunkenRatio';
import type { StandardisedRatio } from '../standardisation/standardisedRatio';

// What the page of a unit is made of. Percentages 0–100, shares 0–1, times in whole days, all at full precision.

/** One condition for asking about a unit: `value` against `bound`. Not applied: it could not be had, and why. */
export interface UnitCriterion {
  readonly name: 'expected' | 'ratio' | 'limit';
  readonly status: 'met' | 'notMet' | 'notApplied';
  readonly value: number; // NaN where it could not be had
  readonly bound: number;
  readonly reason: string | null;
}

/** One hospital or surgeon among all. */
export interface UnitLine {
  readonly id: string;
  readonly procedures: number; // with every covariate recorded, and with their like in the reference
  readonly leftOut: number; // its other procedures
  readonly standardised: StandardisedRatio | NotEstimable; // observed, expected, ratio with exact limits, p
  readonly shrunken: ShrunkenRatio | NotEstimable;
  readonly rank: { readonly lower: number; readonly median: number; readonly upper: number } | null; // 1: the lowest ratio
  readonly criteria: readonly UnitCriterion[];
  /** A flag is a question, no verdict. */
  readonly status: 'flagged' | 'passed' | 'notAssessed';
}

/** All units of one kind. */
export interface UnitsAnalysis {
  readonly status: 'ok';
  readonly question: UnitsQuestion;
  readonly source: Source;
  readonly attrition: readonly AttritionStep[];
  readonly adjustedFor: readonly string[];
  readonly leftOut: readonly { readonly covariate: string; readonly missing: number }[];
  readonly procedures: number; // in the reference
  readonly observed: number; // revisions in the reference
  readonly untilDay: number; // the reference hazard is used up to here
  readonly units: readonly UnitLine[]; // in the order of identifiers
  readonly funnel: Funnel; // over `units`, in their order
  readonly spread: RatioSpread | NotEstimable;
  readonly methods: readonly string[];
  readonly notes: readonly string[];
}

/** A part of a unit's procedures: what happened there against what was expected. */
export interface DriverLevel {
  readonly key: string;
  readonly label: string;
  readonly procedures: number;
  readonly observed: number;
  readonly expected: number;
  readonly excess: number; // observed − expected; those of one driver add up to the whole
  readonly ratio: Estimate | NotEstimable; // observed to expected with exact limits
  /** Of the peers' procedures of this kind, from the same reference: what is usual there. Null: allowed for in what is expected, or no part of theirs. */
  readonly peersRatio: Estimate | NotEstimable | null;
  readonly peersPercent: number; // of the peers' procedures at this level (of their revisions, for reasons), 0–100
}

/** One way to cut a unit's procedures into parts. */
export interface Driver {
  readonly name: 'reason' | 'design' | 'model' | 'indication' | 'class' | 'period' | 'hospital' | 'surgeon' | 'surgeonVolume' | 'learning';
  readonly label: string;
  readonly levels: readonly DriverLevel[];
  readonly note: string | null; // what a reader must know of this cut
}

/** Observed and expected by calendar year of surgery. */
export interface YearOfSurgery {
  readonly year: number;
  readonly procedures: number;
  readonly observed: number;
  readonly expected: number;
  readonly ratio: Estimate | NotEstimable;
}

/** One thing to look at before any claim, the unit beside its peers. Counts and the percentages they make. */
export interface QualityCheck {
  readonly name: string;
  readonly label: string; // what is counted
  readonly own: { readonly count: number; readonly of: number };
  readonly peers: { readonly count: number; readonly of: number };
  readonly unlike: boolean; // clearly unlike the peers: look here first
  readonly why: string; // what it can do to the numbers
}

/** The unit that is looked at beside its peers. Groups are `unit` and `peers`, in that order. */
export interface UnitAnalysis {
  readonly status: 'ok';
  readonly question: UnitsQuestion;
  readonly unit: ChosenUnit;
  readonly source: Source;
  readonly attrition: readonly AttritionStep[]; // to the unit and its peers
  readonly adjustedFor: readonly string[];
  readonly leftOut: readonly { readonly covariate: string; readonly missing: number }[]; // of the unit and its peers together
  /** What the unit is held against: the peers' procedures with every covariate recorded. */
  readonly reference: { readonly procedures: number; readonly observed: number; readonly untilDay: number };
  readonly peers: { readonly label: string; readonly hospitals: number; readonly surgeons: number; readonly procedures: number };
  readonly line: UnitLine; // against these peers
  readonly quality: readonly QualityCheck[];
  readonly caseMix: readonly CaseMix[];
  /** Of `unit` and `peers`, as they are. */
  readonly curves: readonly Curve[];
  readonly riskTable: { readonly days: readonly number[]; readonly atRisk: readonly (readonly number[])[] };
  readonly atTimes: readonly AtTime[];
  /** Percent revised of both with the case mix of both together. */
  readonly adjustedAtTimes: readonly AtTime[] | NotEstimable;
  readonly drivers: readonly Driver[];
  readonly years: readonly YearOfSurgery[];
  readonly benchmark: UnitBenchmark | null; // null: none was set
  readonly surgeons: readonly UnitLine[]; // of a hospital, each against the same reference; identifiers are for the hospital's own eyes
  readonly methods: readonly string[];
  readonly notes: readonly string[];
}

export interface UnitBenchmark {
  readonly verdict: BenchmarkVerdict | NotEstimable;
  readonly estimate: Estimate | NotEstimable; // cumulative percent revision of the unit at the benchmark's time
  readonly atRisk: number;
  readonly hospitals: number; // that contribute, 1 for a hospital
  readonly proceduresNeeded: number; // fully followed, to show that it is not inferior with a power of 80 %, were the truth at the benchmark; Infinity: cannot be shown
  readonly notes: readonly string[];
}

/** A procedure of the unit that was revised, for its own check against its records. */
export interface OwnCase {
  readonly procedureId: string;
  readonly procedureDate: string; // ISO 8601
  readonly days: number; // to the first revision
  readonly kind: string; // label
  readonly reason: string; // label
}

export interface NoUnits { readonly status: 'empty'; readonly reason: string; readonly attrition: readonly AttritionStep[] }
