import { comparedConditions, comparisonFactor, type ComparedGroup, type ComparisonFactor } from '../cohort/comparison';
import type { Condition } from '../cohort/conditions';
import { codings, strataFactor } from '../cohort/covariate';
import type { Question } from '../contract/question';
import type { Database } from '../engine/database';
import type { LoadedExtract, Source } from '../engine/loadedExtract';
import { askedConditions } from './askedConditions';
import { attrition } from './attrition';
import { cohortCells, type CohortCells } from './cohortCells';
import type { Adjustment } from './completeCases';
import { chooseGroups } from './groups';
import type { NothingToShow } from './result';
import { levelSizes } from './rows/levelSizes';
import type { Step } from './step';
import { strataNotes, type Stratification } from './strata';
import { clusterNotes, clustersOf, usersRecorded, type UsersRecorded } from './usersRecorded';

/** The cohort of a question, which its answer and every chapter of it start from. */
export interface AskedCohort {
  readonly status: 'ok';
  readonly database: Database;
  readonly source: Source;
  /** Who is in the cohort, those of the compared groups last. */
  readonly conditions: readonly Condition[];
  readonly factor: ComparisonFactor;
  readonly groups: readonly ComparedGroup[];
  readonly reference: string; // key of a group
  /** On groups that are not shown. */
  readonly notes: readonly string[];
  /** Follow-up is censored at the horizon; a pattern for every combination of group, adjustments and strata. */
  readonly cohort: CohortCells;
  readonly adjustments: readonly Adjustment[];
  readonly strata: readonly Stratification[];
  readonly users: UsersRecorded;
  /** What the limits allow for. */
  readonly clusters: Question['cluster'];
}

const isRecorded = async (database: Database, conditions: readonly Condition[], factor: ComparisonFactor): Promise<boolean> =>
  (await levelSizes(database, conditions, factor)).length > 0;

/** Finds the groups and reduces the cohort to cells. */
export async function askedCohort({ database, source }: LoadedExtract, question: Question, step: Step): Promise<AskedCohort | NothingToShow> {
  const factor = comparisonFactor(question);
  await step('Finding the groups', 0);
  const { conditions: inCohort, notes: ofCohort } = await askedConditions(database, question);
  const { groups, reference, notes } = await chooseGroups(database, inCohort, factor, question);
  if (groups.length === 0) {
    const steps = await attrition(database, inCohort);
    const reason = steps.at(-1)!.remaining === 0
      ? 'No procedure of the extract meets these conditions.'
      : `${await isRecorded(database, inCohort, factor) ? 'No procedure of the cohort is in a group to compare.' : `Of no procedure of the cohort is it recorded: ${factor.label}.`} ${notes.join(' ')}`.trim();
    return { status: 'empty', reason, attrition: steps };
  }
  const conditions = [...inCohort, ...comparedConditions(factor, groups)];

  await step('Counting follow-up', 0.1);
  const adjusting = [...new Set(question.adjust)].map((covariate) => ({ covariate, coding: codings[covariate] }));
  const stratifying = [...new Set(question.strata)].map(strataFactor);
  const { cohort, codes } = await cohortCells(database, conditions, factor, groups, [...adjusting.map((a) => a.coding), ...stratifying], question);
  const users = await usersRecorded(database, conditions, factor), strata = stratifying.map(({ label }, f) => ({ label, codes: codes[adjusting.length + f]! }));
  return {
    status: 'ok',
    database, source, conditions, factor, groups, reference, cohort, strata, users,
    clusters: clustersOf(question, users),
    notes: [...ofCohort, ...notes, ...clusterNotes(question, users), ...strataNotes(cohort, strata)],
    adjustments: adjusting.map((a, f) => ({ ...a, codes: codes[f]! })),
  };
}
