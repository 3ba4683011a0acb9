import { comparisonFactor } from '../cohort/comparison';
import type { Question } from '../contract/question';
import type { Database } from '../engine/database';
import { askedConditions } from './askedConditions';
import { levelSizes } from './rows/levelSizes';

export interface Level {
  readonly key: string;
  readonly label: string;
  readonly procedures: number;
}

/** The levels that a comparison can have in the cohort of the question, largest first. */
export async function levelsOf(database: Database, question: Question): Promise<readonly Level[]> {
  const factor = comparisonFactor(question);
  const { conditions } = await askedConditions(database, question);
  return (await levelSizes(database, conditions, factor)).map(({ key, procedures }) => ({ key, label: factor.labelOf(key), procedures }));
}
