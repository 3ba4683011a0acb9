import type { NotEstimable } from '../../stats/cells';
import type { Basis } from './basis';

/** What could be seen with this many procedures, whatever was seen: no power of the observed ratio. */
export interface Precision extends Basis {
  readonly status: 'ok';
  readonly reference: string;
  readonly referencePerYear: number; // procedures a year, as for the groups
  readonly power: number; // 0.8
  readonly alpha: number; // 0.05, two-sided
  readonly groups: readonly GroupPrecision[]; // every group but the reference
}

export interface GroupPrecision {
  readonly group: string;
  readonly label: string;
  readonly procedures: number;
  readonly perYear: number; // procedures a year, from the first one in the cohort until the closing date or the cohort's last year
  readonly atTimes: readonly {
    readonly years: number; // since surgery
    readonly atRisk: number; // of the group
    /** Revisions of the group up to this time were it revised as the reference is, with the follow-up that it has had. */
    readonly expected: number | NotEstimable;
    readonly referenceEvents: number; // of the reference up to this time
    /** The smallest hazard ratio above 1 that would be seen. */
    readonly detectable: number | NotEstimable;
  }[];
  /** Days since surgery from which on a doubling would be seen with the follow-up so far. */
  readonly doublingSeenFrom: { readonly status: 'ok'; readonly day: number } | NotEstimable;
  /** Days of use after which a doubling would be seen, were group and reference used evenly at their pace so far and from one day on. */
  readonly doublingSeenAfter: { readonly status: 'ok'; readonly days: number } | NotEstimable;
}
