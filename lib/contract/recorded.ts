import type { Role } from './codes';

/** What may be known of a procedure and may as well not be: the columns of `followup` that can be empty. */
export const procedureParts = [
  'patient', 'side', 'class', 'indication', 'age', 'sex', 'asa', 'bmi', 'approach', 'proximal_fixation', 'distal_fixation', 'hospital', 'surgeon', 'region',
] as const;
export type ProcedurePart = (typeof procedureParts)[number];
export const componentParts = ['model', 'design', 'material'] as const;
export type ComponentPart = (typeof componentParts)[number];

/** How much of an extract is recorded: counts of the procedures that were kept. A count of 0 means that nothing can be asked by it. */
export interface Recorded {
  readonly procedures: number;
  readonly of: Readonly<Record<ProcedurePart, number>>;
  /** By the component's role; a role that no procedure has is missing. */
  readonly components: Readonly<Partial<Record<Role, Readonly<Record<ComponentPart, number>>>>>;
  readonly followUpEnds: number; // procedures with a last day of follow-up of their own
  /** First revisions, and of them those of which the kind, a reason, or a removed component is recorded. */
  readonly revisions: { readonly first: number; readonly kind: number; readonly reason: number; readonly removed: number };
}
