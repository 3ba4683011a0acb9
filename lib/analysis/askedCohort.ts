import { codings, strataFactor } from '../cohort/covariate';
import type { Question } from '../contract/question';
import type { LoadedExtract } from '../engine/loadedExtract';
import { askedGroups, type AskedGroups } from './askedGroups';
import { cohortCells, type CohortCells } from './cohortCells';
import type { Adjustment } from './completeCases';
import type { NothingToShow } from './result';
import type { CompetingEvents } from './rows/endsOfFollowUp';
import type { Step } from './step';
import { strataNotes, type Stratification } from './strata';
import { clusterNotes, clustersOf, usersRecorded, type UsersRecorded } from './usersRecorded';

/** The cohort of a question, which its answer and every chapter of it start from. */
export interface AskedCohort extends AskedGroups {
  /** Follow-up is censored at the horizon; a pattern for every combination of group, adjustments and strata. */
  readonly cohort: CohortCells;
  readonly adjustments: readonly Adjustment[];
  readonly strata: readonly Stratification[];
  readonly users: UsersRecorded;
  /** What the limits allow for. */
  readonly clusters: Question['cluster'];
}

/** Finds the groups and reduces the cohort to cells. */
export async function askedCohort(extract: LoadedExtract, question: Question, step: Step): Promise<AskedCohort | NothingToShow> {
  const found = await askedGroups(extract, question, step);
  if (found.status === 'empty') return found;
  await step('Counting follow-up', 0.1);
  return cohortOf(found, question);
}

/** Reduces the cohort of these groups to cells; a model of the event of interest needs competing events no further told apart. */
export async function cohortOf(found: AskedGroups, question: Question, competing: CompetingEvents = 'apart'): Promise<AskedCohort> {
  const { database, conditions, factor, groups } = found;
  const adjusting = [...new Set(question.adjust)].map((covariate) => ({ covariate, coding: codings[covariate] }));
  const stratifying = [...new Set(question.strata)].map(strataFactor);
  const { cohort, codes } = await cohortCells(database, conditions, factor, groups, [...adjusting.map((a) => a.coding), ...stratifying], question, competing);
  const users = await usersRecorded(database, conditions, factor), strata = stratifying.map(({ label }, f) => ({ label, codes: codes[adjusting.length + f]! }));
  return {
    ...found,
    cohort, strata, users,
    clusters: clustersOf(question, users),
    notes: [...found.notes, ...clusterNotes(question, users), ...strataNotes(cohort, strata)],
    adjustments: adjusting.map((a, f) => ({ ...a, codes: codes[f]! })),
  };
}
