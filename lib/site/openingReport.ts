import { analyse } from '../analysis/analyse';
import type { AnsweredRatios } from '../analysis/result';
import { openingQuestion } from '../contract/openingQuestion';
import { View } from '../contract/view';
import type { LoadedExtract } from '../engine/loadedExtract';
import { firstRatios, firstReport, type FirstReport } from '../reports/firstReport';

/** How the answer to the opening question begins, in the usual view and under the usual policy. Throws where it has no answer. */
export async function openingReport(extract: LoadedExtract): Promise<FirstReport> {
  const told: AnsweredRatios[] = [];
  const answer = await analyse(extract, openingQuestion, { onRatios: (answered) => { told.push(answered); } });
  const [answered] = told;
  if (answered === undefined) throw new Error(`the opening question has no answer: ${answer.status === 'empty' ? answer.reason : answer.status}`);
  return { ...firstReport(answered, View.parse({})), ratios: firstRatios(answered) };
}
