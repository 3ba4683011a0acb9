import { answerChapter, type ChapterName, type Chapters } from '@/lib/analysis/chapters/index';
import type { HazardRatio } from '@/lib/analysis/result';
import { Question } from '@/lib/contract/question';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { followupDatabase, type FollowupRow } from '../../cohort/followup';

export const source = { registry: 'By hand', version: '1', opened: '2004-01-01', closingDate: '2020-12-31', fingerprint: '' };

/** A chapter of a question that has an answer. */
export async function chapterOf<N extends ChapterName>(extract: LoadedExtract, name: N, asked: object): Promise<Chapters[N]> {
  const result: Chapters[N] | { readonly status: 'empty'; readonly reason: string } = await answerChapter(extract, Question.parse(asked), name);
  if (result.status === 'empty') throw new Error(result.reason);
  return result;
}

export async function chapterOfRows<N extends ChapterName>(rows: readonly FollowupRow[], name: N, asked: object): Promise<Chapters[N]> {
  const database = await followupDatabase(rows);
  try {
    return await chapterOf({ database, source }, name, asked);
  } finally {
    await database.close();
  }
}

/** Value and limits; null: no estimate, as R writes what it has not. */
export const limitsOf = ({ estimate }: HazardRatio): readonly (number | null)[] => ('value' in estimate ? [estimate.value, estimate.lower, estimate.upper] : [null, null, null]);
