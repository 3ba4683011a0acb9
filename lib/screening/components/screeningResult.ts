import type { CoxResult, Estimate, HazardRatio, PeriodRatios } from '../../analysis/result';
import type { Role } from '../../contract/codes';
import type { Question } from '../../contract/question';
import type { ScreeningQuestion } from '../../contract/screeningQuestion';
import type { Source } from '../../engine/loadedExtract';
import type { NotEstimable } from '../../stats/cells';
import type { RatioSpread } from '../shrinkage/gammaPoisson';
import type { ScreenedComponent } from './componentScreening';
import type { ScreeningSettings } from './screeningSettings';

// What a run of the screening gives. Percentages 0–100, times in whole days, all at full precision.

/** A model in the place in which it is screened. */
export interface Component {
  readonly role: Role;
  readonly model: string;
  readonly design: string | null; // code; null: not recorded
  readonly class: string | null; // code; null: not part of what it is held against
}

/** A model with what its rate of revision was, and the conditions that it met. */
export interface ScreenedModel extends Component, ScreenedComponent {
  readonly componentYears: number;
  readonly per100: Estimate | NotEstimable; // revisions per 100 component-years
  /** Others of its kind are held against it too; false: it is left out there. */
  readonly inComparator: boolean;
  readonly othersProcedures: number;
  /** The ratio that its follow-up so far would let one see, were there one. */
  readonly detectable: number | NotEstimable;
}

/** One condition of the adjusted stage: the lower limit of a ratio against 1. */
export interface AdjustedCriterion {
  readonly name: 'adjusted' | 'withinHospitals' | 'withoutLargestUser';
  readonly status: 'met' | 'notMet' | 'notApplied';
  readonly value: number; // NaN where it could not be had
  readonly bound: 1;
  readonly reason: string | null;
}

/** The ratio of one fit, overall and by period since surgery. */
export interface FittedRatio {
  readonly status: 'ok';
  readonly ratio: HazardRatio;
  readonly periods: readonly PeriodRatios[] | NotEstimable | null; // null: not asked for, one ratio for all time being enough
}

/**
 * `upheld`: adjusted, within hospitals and without the largest user alike. `hospitals`: adjusted, but not, or not to be told, apart from
 * the hospitals that use it. `notUpheld`: not once adjusted. `cannotSay`: there is no adjusted ratio.
 */
export type Standing = 'upheld' | 'hospitals' | 'notUpheld' | 'cannotSay';

/** A model against all others that it was screened against, by a Cox model with limits robust over hospitals. */
export interface AdjustedComparison {
  readonly question: Question;
  readonly unadjusted: FittedRatio['ratio'] | NotEstimable;
  readonly adjusted: FittedRatio | NotEstimable;
  readonly model: Pick<CoxResult, 'adjustedFor' | 'leftOut' | 'procedures' | 'events' | 'clusters' | 'notes'> | null;
  readonly proportionality: { readonly chisq: number; readonly df: number; readonly p: number } | NotEstimable;
  /** The hazards are not proportional, and ratios by period decide instead of the one over all time. */
  readonly byPeriod: boolean;
  readonly repeats: { readonly withinHospitals: FittedRatio | NotEstimable; readonly withoutLargestUser: FittedRatio | NotEstimable };
  readonly criteria: readonly AdjustedCriterion[];
  readonly standing: Standing;
}

export interface ComponentsAnalysis {
  readonly status: 'ok';
  readonly question: ScreeningQuestion;
  readonly settings: ScreeningSettings;
  readonly source: Source;
  /** By role, kind and model code: never in the order of a result. */
  readonly models: readonly ScreenedModel[];
  /** Over which the expected share of false flags is held. */
  readonly assessed: number;
  readonly spread: RatioSpread | NotEstimable;
  /** Of those flagged, and of those carried forward that have others to be held against; by their place in `models`. */
  readonly adjusted: readonly { readonly place: number; readonly comparison: AdjustedComparison }[];
  /** Earlier signals of models that no procedure of the cohort has. */
  readonly gone: ScreeningQuestion['earlier'];
  readonly methods: readonly string[];
  readonly notes: readonly string[];
}

export interface NoComponents { readonly status: 'empty'; readonly reason: string }
