import type { NotEstimable } from '../../stats/cells';
import type { CoxResult, HazardRatio } from '../result';
import type { Basis } from './basis';

/** Whether the ratio of the groups is another one in some patients. */
export interface Subgroups extends Basis {
  readonly status: 'ok';
  readonly reference: string;
  readonly factors: readonly SubgroupFactor[];
  /** Interaction tests looked at together; the adjusted p-values allow for them all. */
  readonly tests: number;
}

export interface SubgroupFactor extends Pick<CoxResult, 'adjustedFor' | 'leftOut' | 'notes'> {
  readonly factor: 'age' | 'sex' | 'indication' | 'class';
  readonly label: string;
  readonly procedures: number; // in the fit
  readonly events: number;
  /** That the ratios are the same at all levels. Wald test, robust where the question names a cluster. */
  readonly test: InteractionTest | NotEstimable;
  readonly levels: readonly SubgroupLevel[] | NotEstimable;
}

export interface InteractionTest {
  readonly status: 'ok';
  readonly chisq: number;
  readonly df: number;
  readonly p: number;
  /** Smallest false discovery rate at which it would count as found, among all tests of the chapter. */
  readonly adjustedP: number;
}

export interface SubgroupLevel {
  readonly level: string;
  readonly label: string;
  readonly procedures: number;
  readonly events: number;
  /** Groups against the reference within the level; their counts are those of the level. */
  readonly ratios: readonly HazardRatio[];
}
