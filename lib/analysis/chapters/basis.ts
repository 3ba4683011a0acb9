import { eventCode } from '../../cohort/outcome';
import type { AskedCohort } from '../askedCohort';

/** What the numbers of a chapter rest on; every chapter's result has it. */
export interface Basis {
  readonly procedures: number; // of all groups
  readonly events: number; // of the chosen outcome, up to the horizon
  /** One per estimator, a phrase each: its name, its source and the settings that it was given. */
  readonly methods: readonly string[];
  /** What a reader must know before using the numbers. */
  readonly notes: readonly string[];
}

export function basisOf({ cohort: { cells }, notes: ofGroups }: AskedCohort, methods: readonly string[], notes: readonly string[] = []): Basis {
  return {
    procedures: cells.count.reduce((sum, n) => sum + n, 0),
    events: cells.count.reduce((sum, n, i) => (cells.event[i] === eventCode.ofInterest ? sum + n : sum), 0),
    methods,
    notes: [...ofGroups, ...notes],
  };
}

export const limits = (confidence: number): string => `limits at ${Number((100 * confidence).toFixed(4))} %`;

export const stopRule = (largestStep: number): string => (largestStep > 0
  ? `read until one more revision would lower 1 − KM by more than ${Number((100 * largestStep).toFixed(4))} points`
  : 'read to the end of follow-up');
