/**
 * Follow-up reduced to cells: every array has one entry per cell, `count[i]` identical procedures each.
 * Times are whole days in the product; any finite non-negative number is accepted.
 */
export interface Cells {
  /** Time of event or censoring, at least 0. Events at time 0 are kept. */
  readonly exit: Float64Array;
  /** At risk on (entry, exit]; absent or -Infinity: at risk from the start, time 0 included. */
  readonly entry?: Float64Array;
  /** 0 censored, 1 the event of interest, 2 and up competing events. */
  readonly event: Uint8Array;
  /** Procedures in the cell, above 0. */
  readonly count: Float64Array;
  /** Each stratum has its own baseline hazard. */
  readonly stratum?: Int32Array;
  /** Observations of one cluster share a number of at least 0; -1: each procedure of the cell is a cluster of its own. */
  readonly cluster?: Int32Array;
}

/** The covariates of `Cells`: cell i has row `pattern[i]` of `values`, a row-major matrix with one column per name. */
export interface Design {
  readonly names: readonly string[];
  readonly values: Float64Array;
  readonly pattern: Int32Array;
}

/** A statistic that cannot be had, and why in words a clinician would use. Never an exception, never a huge number. */
export interface NotEstimable {
  readonly status: 'notEstimable';
  readonly reason: string;
}
