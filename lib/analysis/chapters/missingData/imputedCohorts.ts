import { codings } from '../../../cohort/covariate';
import type { Question } from '../../../contract/question';
import type { NotEstimable } from '../../../stats/cells';
import { chainedEquations } from '../../../stats/imputation/chainedEquations';
import { outcomePredictors } from '../../../stats/imputation/outcomePredictors';
import type { Variable } from '../../../stats/imputation/variable';
import type { AskedCohort } from '../../askedCohort';
import { nowhereRecorded, type Adjustment } from '../../completeCases';
import { widerCohort } from '../../widerCohort';
import { codedVariable } from './codedVariable';
import { procedureRows } from './procedureRows';

/** Known of most: helps to tell what is not recorded, whether adjusted for or not. */
const helping = ['age_linear', 'sex', 'indication', 'class', 'period'] as const;

export interface Imputation { readonly imputations: number; readonly seed: number }

/**
 * The cohort with the covariates of the question filled in, as often as asked, from each other, the groups, the outcome and what else helps.
 * What is compared is known from the groups.
 */
export async function imputedCohorts(cohort: AskedCohort, question: Question, options: Imputation): Promise<readonly AskedCohort[] | NotEstimable> {
  const others = helping.filter((covariate) => covariate !== question.compare && !question.adjust.includes(covariate));
  const { asked, codes } = await widerCohort(cohort, question, others.map((covariate) => codings[covariate]));
  const also = others.map((covariate, c): Adjustment => ({ covariate, coding: codings[covariate], codes: codes[c]! }))
    .filter((adjustment) => nowhereRecorded(asked.cohort, [adjustment]) === null);
  const rows = procedureRows({ ...asked, adjustments: [...asked.adjustments, ...also] });
  const { cells, group } = rows.cohort, coded = rows.adjustments.map(codedVariable);
  const groups: Variable = { kind: 'nominal', name: 'group', levels: asked.groups.length, value: group };
  const varies = (variable: Variable): boolean => variable.kind === 'measured' || variable.levels !== 1;
  const used = coded.filter(({ variable }) => varies(variable));
  const result = chainedEquations([groups, ...used.map(({ variable }) => variable)], cells.count, outcomePredictors(cells), options);
  if (result.status !== 'ok') return result;
  return result.completed.map((completed) => ({
    ...rows,
    adjustments: asked.adjustments.map((adjustment, a): Adjustment => {
      const filled = completed[used.indexOf(coded[a]!) + 1];
      return { ...adjustment, codes: used.includes(coded[a]!) ? coded[a]!.codesOf(filled!) : onlyLevel(rows.adjustments[a]!.codes) };
    }),
  }));
}

/** A covariate with one level is that level where it is not recorded, too. */
const onlyLevel = (codes: Int32Array): Int32Array => codes.map(() => codes.reduce((most, code) => Math.max(most, code), -1));
