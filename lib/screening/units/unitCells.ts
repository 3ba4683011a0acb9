import { cohortCells, type CohortCells } from '../../analysis/cohortCells';
import { completeCases, type Adjustment } from '../../analysis/completeCases';
import type { CoxResult } from '../../analysis/result';
import type { ComparedGroup, ComparisonFactor } from '../../cohort/comparison';
import { codings, type Coding } from '../../cohort/covariate';
import type { Fragment } from '../../cohort/sql';
import type { Question } from '../../contract/question';
import type { Database } from '../../engine/database';

/** Procedures by cells that tell units, covariates and further factors apart. */
export interface UnitCells {
  readonly units: readonly ComparedGroup[];
  /** All, then those with every covariate recorded; the group of a cell is its unit. */
  readonly all: CohortCells;
  readonly complete: CohortCells;
  readonly leftOut: CoxResult['leftOut'];
  readonly adjustments: readonly Adjustment[];
  /** Per further factor, per pattern: its code; −1: not recorded. */
  readonly further: readonly Int32Array[];
}

export async function unitCells(
  database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, units: readonly ComparedGroup[],
  question: Question, further: readonly Pick<Coding, 'code'>[] = [],
): Promise<UnitCells> {
  const adjusting = [...new Set(question.adjust)].map((covariate) => ({ covariate, coding: codings[covariate] }));
  const { cohort, codes } = await cohortCells(database, conditions, factor, units, [...adjusting.map((a) => a.coding), ...further], question);
  const adjustments = adjusting.map((a, f) => ({ ...a, codes: codes[f]! }));
  const { cohort: complete, leftOut } = completeCases(cohort, adjustments);
  return { units, all: cohort, complete, leftOut, adjustments, further: codes.slice(adjustments.length) };
}
