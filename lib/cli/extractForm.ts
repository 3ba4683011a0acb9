import { basename } from 'node:path';
import { analyse } from '../analysis/analyse';
import { answerChapter, type ChapterName, type Chapters } from '../analysis/chapters';
import type { Analysis, NothingToShow } from '../analysis/result';
import type { AnalysisOptions } from '../analysis/step';
import { Question } from '../contract/question';
import type { LoadedExtract } from '../engine/loadedExtract';
import type { ExtractOptions } from './arguments';
import { existingText, parsed } from './questionFile';
import { withExtract } from './withExtract';

export type Answer = NothingToShow | (Analysis & { readonly chapters: Partial<Chapters> });

/** Loads the extract and answers the question, with the chapters asked for. `progress` gets short lines for a person who waits. */
export async function answer({ extract: paths, mapping, question: path, chapters }: ExtractOptions, progress: (line: string) => void): Promise<Answer> {
  const question = parsed(Question, basename(path), await existingText(path));
  return withExtract({ extract: paths, mapping }, progress, async (extract, options) => {
    const analysis = await analyse(extract, question, options);
    return analysis.status === 'empty' ? analysis : { ...analysis, chapters: await answered(extract, question, chapters, options) };
  });
}

async function answered(extract: LoadedExtract, question: Question, names: readonly ChapterName[], options: AnalysisOptions): Promise<Partial<Chapters>> {
  const results: [ChapterName, Chapters[ChapterName] | NothingToShow][] = [];
  for (const name of names) results.push([name, await answerChapter(extract, question, name, options)]);
  return Object.fromEntries(results);
}
