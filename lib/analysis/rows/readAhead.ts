import { daysOfYears } from '../../cohort/days';
import { eventFragment } from '../../cohort/outcome';
import { Question } from '../../contract/question';
import { columnsOf } from '../../engine/columns';
import type { LoadedExtract } from '../../engine/loadedExtract';
import { endsOfFollowUp } from './endsOfFollowUp';

/** Reads how follow-up ends, to the horizon and by the outcome of the opening question, before anybody asks: nearly every question needs it, and a person takes a while to ask. */
export async function readAhead({ database }: LoadedExtract): Promise<void> {
  const { outcome, cohort, horizonYears } = Question.parse({});
  await endsOfFollowUp(columnsOf(database), eventFragment(outcome, cohort.role), daysOfYears(horizonYears));
}
