import type { NotEstimable } from '../../stats/cells';
import type { Basis } from './basis';

/** What could be seen with this many procedures, whatever was seen: no power of the observed ratio. */
export interface Precision extends Basis {
  readonly status: 'ok';
  readonly reference: string;
  readonly power: number; // 0.8
  readonly alpha: number; // 0.05, two-sided
  readonly groups: readonly GroupPrecision[]; // every group but the reference
}

export interface GroupPrecision {
  readonly group: string;
  readonly label: string;
  readonly procedures: number;
  readonly perYear: number; // procedures a year, from the first one until the closing date
  readonly atTimes: readonly {
    readonly years: number; // since surgery
    readonly atRisk: number; // of the group
    /** Were the group revised as the reference is, with the follow-up that it has had up to this time. */
    readonly expected: number | NotEstimable;
    readonly referenceEvents: number;
    /** The smallest hazard ratio above 1 that would be seen. */
    readonly detectable: number | NotEstimable;
  }[];
  /** Days since surgery from which a doubling would be seen with today's follow-up. */
  readonly doublingSeenFrom: { readonly status: 'ok'; readonly day: number } | NotEstimable;
  /** Days from the group's first procedure after which a doubling would be seen, at its pace so far. */
  readonly doublingSeenAfter: { readonly status: 'ok'; readonly days: number } | NotEstimable;
}
