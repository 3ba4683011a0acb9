import { comparisonFactor } from '../cohort/comparison';
import { cohortConditions } from '../cohort/conditions';
import { levelsQuery } from '../cohort/levels';
import type { Question } from '../contract/question';
import type { Database } from '../engine/database';

export interface Level {
  readonly key: string;
  readonly label: string;
  readonly procedures: number;
}

/** The levels that a comparison can have in the cohort of the question, largest first. */
export async function levelsOf(database: Database, question: Question): Promise<readonly Level[]> {
  const factor = comparisonFactor(question);
  const result = await database.query(levelsQuery(cohortConditions(question.cohort, question.horizonYears), factor));
  const procedures = result.numbers('procedures');
  return result.texts('level_key').map((key, i) => ({ key: key ?? '', label: factor.labelOf(key ?? ''), procedures: procedures[i]! }));
}
