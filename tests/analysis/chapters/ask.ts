import { answerChapter, type ChapterName, type Chapters } from '@/lib/analysis/chapters/index';
import type { Estimate, HazardRatio } from '@/lib/analysis/result';
import { Question } from '@/lib/contract/question';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { NotEstimable } from '@/lib/stats/cells';
import { followupDatabase, type FollowupRow } from '../../cohort/followup';

export const source = { registry: 'By hand', version: '1', opened: '2004-01-01', closingDate: '2020-12-31', fingerprint: '' };

/** A chapter of a question that has an answer. */
export async function chapterOf<N extends ChapterName>(extract: LoadedExtract, name: N, asked: object): Promise<Chapters[N]> {
  const result = await answerChapter(extract, Question.parse(asked), name);
  if (result.status === 'empty') throw new Error(result.reason);
  return result;
}

/** A chapter of a registry of these rows. */
export async function chapterOfRows<N extends ChapterName>(rows: readonly FollowupRow[], name: N, asked: object): Promise<Chapters[N]> {
  const database = await followupDatabase(rows);
  try {
    return await chapterOf({ database, source }, name, asked);
  } finally {
    await database.close();
  }
}

export const times = (n: number, row: FollowupRow): readonly FollowupRow[] => Array.from({ length: n }, () => row);
export const pegged: FollowupRow = { glenoid_design: 'all_poly_pegged' };
export const keeled: FollowupRow = { glenoid_design: 'all_poly_keeled' };
export const revised = (day: number, reason = 'glenoid_loosening'): FollowupRow => ({ ending: 'revision', kind: 'major', reason, removed: 1, exit_day: day });
export const died = (day: number): FollowupRow => ({ ending: 'death', exit_day: day });
export const followed = (day: number): FollowupRow => ({ exit_day: day });

/** An estimate as a row of a fixture. */
export const triple = (estimate: Estimate | NotEstimable): readonly number[] | string =>
  ('value' in estimate ? [estimate.value, estimate.lower, estimate.upper] : estimate.reason);

/** Value and limits; null: no estimate, as R writes what it has not. */
export const limitsOf = ({ estimate }: HazardRatio): readonly (number | null)[] => ('value' in estimate ? [estimate.value, estimate.lower, estimate.upper] : [null, null, null]);
