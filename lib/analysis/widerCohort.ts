import { strataFactor, type Coding } from '../cohort/covariate';
import type { Question } from '../contract/question';
import type { AskedCohort } from './askedCohort';
import { cohortCells } from './cohortCells';

export interface WiderCohort {
  readonly asked: AskedCohort;
  /** Per factor, per pattern: the code of the level; -1: not recorded. */
  readonly codes: readonly Int32Array[];
}

/** The cohort of the question reduced anew, with patterns that tell these factors apart besides its own. */
export async function widerCohort(asked: AskedCohort, question: Question, factors: readonly Pick<Coding, 'code' | 'column'>[]): Promise<WiderCohort> {
  const { database, conditions, factor, groups, adjustments } = asked;
  const own = [...adjustments.map(({ coding }) => coding), ...[...new Set(question.strata)].map(strataFactor)];
  const { cohort, codes } = await cohortCells(database, conditions, factor, groups, [...own, ...factors], question);
  return {
    asked: {
      ...asked,
      cohort,
      adjustments: adjustments.map((a, f) => ({ ...a, codes: codes[f]! })),
      strata: asked.strata.map((s, f) => ({ ...s, codes: codes[adjustments.length + f]! })),
    },
    codes: codes.slice(own.length),
  };
}
