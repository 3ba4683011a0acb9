/** What the numbers of a chapter rest on; every chapter's result has it. */
export interface Basis {
  readonly procedures: number; // of all groups
  readonly events: number; // of the chosen outcome, up to the horizon
  /** One per estimator, a phrase each: its name, its source and the settings that it was given. */
  readonly methods: readonly string[];
  /** What a reader must know before using the numbers. */
  readonly notes: readonly string[];
}
