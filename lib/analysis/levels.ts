import { comparisonFactor } from '../cohort/comparison';
import { levelsQuery } from '../cohort/levels';
import type { Question } from '../contract/question';
import type { Database } from '../engine/database';
import { askedConditions } from './askedConditions';

export interface Level {
  readonly key: string;
  readonly label: string;
  readonly procedures: number;
}

/** The levels that a comparison can have in the cohort of the question, largest first. */
export async function levelsOf(database: Database, question: Question): Promise<readonly Level[]> {
  const factor = comparisonFactor(question);
  const { conditions } = await askedConditions(database, question);
  const result = await database.query(levelsQuery(conditions, factor));
  const procedures = result.numbers('procedures');
  return result.texts('level_key').map((key, i) => ({ key: key ?? '', label: factor.labelOf(key ?? ''), procedures: procedures[i]! }));
}
