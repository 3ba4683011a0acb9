import { basename } from 'node:path';
import { VisitsQuestion } from '../contract/visitsQuestion';
import { analyseVisits } from '../visits/analyseVisits';
import type { NoVisits, VisitsAnalysis } from '../visits/visitsResult';
import type { VisitsOptions } from './arguments';
import { existingText, parsed } from './questionFile';
import { withExtract } from './withExtract';

/** What the follow-up visits of the extract answer. */
export async function visitsAnswer({ extract: paths, mapping, visits: path }: VisitsOptions, progress: (line: string) => void): Promise<VisitsAnalysis | NoVisits> {
  const question = parsed(VisitsQuestion, basename(path), await existingText(path));
  return withExtract({ extract: paths, mapping }, progress, (extract, options) => analyseVisits(extract, question, options));
}
