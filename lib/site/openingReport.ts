import { analyse } from '../analysis/analyse';
import type { FirstAnswer } from '../analysis/result';
import { openingQuestion } from '../contract/openingQuestion';
import { View } from '../contract/view';
import type { LoadedExtract } from '../engine/loadedExtract';
import { firstReport, type FirstReport } from '../reports/firstReport';

/** How the answer to the opening question begins, in the usual view and under the usual policy. Throws where it has no answer. */
export async function openingReport(extract: LoadedExtract): Promise<FirstReport> {
  const told: FirstAnswer[] = [];
  const answer = await analyse(extract, openingQuestion, { onFirst: (first) => { told.push(first); } });
  const [first] = told;
  if (first === undefined) throw new Error(`the opening question has no answer: ${answer.status === 'empty' ? answer.reason : answer.status}`);
  return firstReport(first, View.parse({}));
}
