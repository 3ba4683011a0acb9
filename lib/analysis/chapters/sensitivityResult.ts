import type { NotEstimable } from '../../stats/cells';
import type { EValue, Frequency } from '../../stats/eValue';
import type { CoxResult, HazardRatio } from '../result';
import type { Basis } from './basis';

/** The comparison repeated under the reasonable alternatives: one forest. */
export interface Sensitivity extends Basis {
  readonly status: 'ok';
  readonly reference: string;
  /** Every group but the reference; the ratios of each line are in this order. */
  readonly groups: readonly SensitivityGroup[];
  /** As asked first; lines of one family stand together. */
  readonly lines: readonly SensitivityLine[];
  /** By the percent revised at the horizon: whether a hazard ratio is near a ratio of risks. */
  readonly frequency: Frequency;
}

/** What the lines that have an estimate say of one group, taken together. */
export interface SensitivityGroup {
  readonly group: string;
  readonly label: string;
  readonly estimated: number; // lines with an estimate, the one as asked among them
  readonly smallest: number; // of their ratios; NaN: none
  readonly largest: number;
  readonly sameSide: number; // lines whose ratio is on the same side of 1 as the one as asked
  readonly clear: number; // of those, with limits that leave out 1
  /** How strong an unmeasured confounder would have to be to explain away the ratio as asked. */
  readonly eValue: (EValue & { readonly status: 'ok' }) | NotEstimable;
}

export type SensitivityFamily = 'asked' | 'adjustment' | 'patients' | 'implants' | 'users' | 'calendar' | 'outcome';

export interface SensitivityLine {
  readonly key: string; // unique
  readonly family: SensitivityFamily;
  readonly label: string;
  readonly why: string; // a sentence: what this line tries
  readonly result: LineEstimates | NotApplicable | NotEstimable;
}

export interface LineEstimates extends Pick<CoxResult, 'adjustedFor' | 'leftOut' | 'notes'> {
  readonly status: 'ok';
  /** `subdistribution`: of Fine & Gray, where those who died stay in the comparison. */
  readonly measure: 'hazard' | 'subdistribution';
  readonly procedures: number; // in the fit
  readonly events: number;
  /** How many fewer than as asked; below 0: more. */
  readonly fewer: { readonly procedures: number; readonly events: number };
  readonly ratios: readonly HazardRatio[];
  /** Each ratio in multiples of the one as asked; NaN: one of the two has no estimate. */
  readonly shifts: readonly number[];
}

/** The alternative does not differ from the question, or makes no sense for it. */
export interface NotApplicable {
  readonly status: 'notApplicable';
  readonly reason: string;
}
