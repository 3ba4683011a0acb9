import type { AttritionStep, CaseMix, CoxResult, Group } from '../../analysis/result';
import type { ComparedGroup } from '../../cohort/comparison';
import type { Role } from '../../contract/codes';
import type { ScreeningQuestion } from '../../contract/screeningQuestion';
import type { Source } from '../../engine/loadedExtract';
import type { Driver, DriverLevel } from '../units/unitsResult';
import type { AdjustedComparison, ScreenedModel } from './screeningResult';

/** A part of the model's procedures: what was observed and what expected, were it like all others of its kind. */
export type Part = Pick<DriverLevel, 'key' | 'label' | 'procedures' | 'observed' | 'expected' | 'excess' | 'ratio'>;

/** How much of the model is one user's. Shares are 0–1. */
export interface Concentration {
  readonly unit: 'hospital' | 'surgeon';
  readonly users: number;
  readonly othersUsers: number; // of all others of the kind
  readonly largest: Part; // the user with most procedures
  readonly elsewhere: Part; // all other users together
  readonly shareOfProcedures: number;
  readonly shareOfRevisions: number; // NaN: no revision
}

/** The models of another role that it was used with. Their `peersPercent` is of the others' procedures. */
export interface Partners {
  readonly role: Role;
  readonly driver: Driver;
  readonly flagged: readonly string[]; // models of that role that this screening flags
}

type Users = Pick<Group, 'procedures' | 'patients' | 'hospitals' | 'surgeons' | 'largestHospitalShare' | 'largestSurgeonShare' | 'firstYear' | 'lastYear'>;

/** What there is to look at before the model itself. Groups are the model and all others, in that order. */
export interface ComponentExplained {
  readonly status: 'ok';
  readonly question: ScreeningQuestion;
  readonly component: ScreenedModel;
  readonly comparison: AdjustedComparison;
  readonly source: Source;
  readonly groups: readonly ComparedGroup[];
  readonly users: readonly Users[];
  readonly attrition: readonly AttritionStep[];
  readonly whole: Part; // procedures with every covariate recorded and their like among the others
  readonly reference: { readonly procedures: number; readonly observed: number; readonly untilDay: number };
  readonly adjustedFor: readonly string[];
  readonly leftOut: CoxResult['leftOut'];
  readonly concentration: readonly Concentration[];
  readonly drivers: readonly Driver[]; // reasons first; the parts of each add up to the whole
  readonly partners: readonly Partners[];
  readonly caseMix: readonly CaseMix[];
  readonly methods: readonly string[];
  readonly notes: readonly string[];
}

export interface NotExplained { readonly status: 'empty'; readonly reason: string }
