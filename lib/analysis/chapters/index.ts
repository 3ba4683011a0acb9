import type { Question } from '../../contract/question';
import type { LoadedExtract } from '../../engine/loadedExtract';
import { askedCohort, type AskedCohort } from '../askedCohort';
import type { NothingToShow } from '../result';
import { stepOf, type AnalysisOptions, type Step } from '../step';
import { clustering } from './clustering';
import { competingRisks } from './competingRisks';
import { difference } from './difference';
import { precision } from './precision';
import { sensitivity } from './sensitivity/sensitivity';
import { subgroups } from './subgroups/subgroups';
import { ratioOverTime } from './ratioOverTime';
import { sameCaseMix } from './sameCaseMix/sameCaseMix';
import { missingData } from './missingData/missingData';

/** What more can be asked of a question than its main answer, in reading order. */
const chapters = { competingRisks, difference, clustering, precision, sensitivity, subgroups, ratioOverTime, sameCaseMix, missingData };

export type ChapterName = keyof typeof chapters;
export type Chapters = { readonly [N in ChapterName]: Awaited<ReturnType<(typeof chapters)[N]>> };
export const chapterNames = Object.keys(chapters) as readonly ChapterName[];

/** The cohort last asked for of each extract: the chapters of a question follow one another. */
const lastAsked = new WeakMap<LoadedExtract, { readonly question: string; readonly asked: AskedCohort | NothingToShow }>();

/** Throws the signal's reason when aborted. */
export async function answerChapter<N extends ChapterName>(
  extract: LoadedExtract, question: Question, name: N, options: AnalysisOptions = {},
): Promise<Chapters[N] | NothingToShow> {
  const step = stepOf(options), key = JSON.stringify(question), last = lastAsked.get(extract);
  const asked = last?.question === key ? last.asked : await askedCohort(extract, question, step);
  lastAsked.set(extract, { question: key, asked });
  if (asked.status === 'empty') return asked;
  const chapter = chapters[name] as (asked: AskedCohort, question: Question, step: Step) => Promise<Chapters[N]>;
  return chapter(asked, question, step);
}
