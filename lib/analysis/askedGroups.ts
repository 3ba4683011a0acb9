import { comparedConditions, comparisonFactor, type ComparedGroup, type ComparisonFactor } from '../cohort/comparison';
import type { Condition } from '../cohort/conditions';
import type { Question } from '../contract/question';
import type { Database } from '../engine/database';
import type { LoadedExtract, Source } from '../engine/loadedExtract';
import { askedConditions } from './askedConditions';
import { attrition } from './attrition';
import { cohortCells, type CohortCells } from './cohortCells';
import { chooseGroups } from './groups';
import type { NothingToShow } from './result';
import { levelSizes } from './rows/levelSizes';
import type { Step } from './step';

/** Whom a question compares. */
export interface AskedGroups {
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
}

const isRecorded = async (database: Database, conditions: readonly Condition[], factor: ComparisonFactor): Promise<boolean> =>
  (await levelSizes(database, conditions, factor)).length > 0;

export async function askedGroups({ database, source }: LoadedExtract, question: Question, step: Step): Promise<AskedGroups | NothingToShow> {
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
  return { status: 'ok', database, source, factor, groups, reference, conditions: [...inCohort, ...comparedConditions(factor, groups)], notes: [...ofCohort, ...notes] };
}

/** Their procedures by cells that tell groups apart and nothing else. */
export async function cellsOfGroups({ database, conditions, factor, groups }: AskedGroups, question: Question): Promise<CohortCells> {
  return (await cohortCells(database, conditions, factor, groups, [], { ...question, cluster: 'none' })).cohort;
}
