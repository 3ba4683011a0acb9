import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { answerChapter, chapterNames } from '@/lib/analysis/chapters/index';
import { Question } from '@/lib/contract/question';
import type { Query } from '@/lib/engine/database';
import { followupDatabase, type FollowupRow } from '../../cohort/followup';
import { chapterOfRows, died, followed, keeled, pegged, revised, times } from './ask';

const source = { registry: 'By hand', version: '1', opened: '2004-01-01', closingDate: '2020-12-31', fingerprint: '' };
const rows: readonly FollowupRow[] = [
  ...times(5, { ...pegged, ...revised(200) }), ...times(5, { ...pegged, ...died(300) }), ...times(90, { ...pegged, ...followed(800) }),
  ...times(8, { ...keeled, ...revised(150) }), ...times(2, { ...keeled, ...died(400) }), ...times(60, { ...keeled, ...followed(700) }),
].map((row, i) => ({ ...row, sex: i % 2 === 0 ? 'female' : 'male', hospital: `H${i % 5}`, surgeon: `S${i % 9}` }));

describe('a chapter of an answer', () => {
  it.each(chapterNames)('%s rests on the procedures and events of the cohort, and says how it was made', async (name) => {
    const { procedures, events, methods } = await chapterOfRows(rows, name, { adjust: ['sex'] });
    expect([procedures, events]).toEqual([170, 13]);
    expect(methods.length).toBeGreaterThan(0);
  });

  it('of an empty cohort says at which step it became so', async () => {
    const database = await followupDatabase(rows);
    const question = Question.parse({ cohort: { classes: ['reverse_total'] } });
    expect(await answerChapter({ database, source }, question, 'difference')).toMatchObject({ status: 'empty', reason: 'No procedure of the extract meets these conditions.' });
    await database.close();
  });

  it('counts follow-up once for the chapters of one question, and anew for the next', async () => {
    const database = await followupDatabase(rows), asked: string[] = [];
    const extract = { source, database: { ...database, query: (query: Query) => { asked.push(query.sql); return database.query(query); }, close: () => database.close() } };
    const counts = async (question: object) => {
      asked.length = 0;
      await answerChapter(extract, Question.parse(question), 'difference');
      return asked.length;
    };
    const first = await counts({});
    expect(first).toBeGreaterThan(0);
    expect(await counts({})).toBe(0);
    expect(await counts({ horizonYears: 2 }), 'columns are kept, the follow-up within 2 years is not').toBeGreaterThan(0);
    await database.close();
  });

  it('ends when a newer question is asked', async () => {
    const database = await followupDatabase(rows), newer = new AbortController();
    const answer = answerChapter({ database, source }, Question.parse({}), 'competingRisks', { signal: newer.signal, onProgress: ({ fraction }) => { if (fraction > 0.3) newer.abort(new Error('superseded')); } });
    await expect(answer).rejects.toThrow('superseded');
    await database.close();
  });
});

// Few procedures, many ties, days 0, groups that vanish, strata of one, levels without revisions.
const procedure: fc.Arbitrary<FollowupRow> = fc.record({
  glenoid_design: fc.constantFrom('all_poly_pegged', 'all_poly_keeled', 'metal_backed'),
  sex: fc.constantFrom('female', 'male'),
  hospital: fc.constantFrom('H1', 'H2'),
  surgeon: fc.constantFrom('S1', 'S2', 'S3'),
  asa: fc.constantFrom(1, 2, 3, null),
  exit_day: fc.constantFrom(0, 1, 100, 366, 731, 900),
  entry_day: fc.constantFrom(null, null, null, 50),
  end: fc.constantFrom('censored', 'revision', 'death'),
}).map(({ end, entry_day: entry, ...row }) => ({
  ...row, ending: end, entry_day: entry !== null && entry < row.exit_day ? entry : null, ...(end === 'revision' && { kind: 'major', reason: 'infection', removed: 1 }),
}));
const question = fc.record({
  adjust: fc.subarray(['sex', 'asa', 'age_linear']),
  strata: fc.subarray(['sex', 'hospital']),
  cluster: fc.constantFrom('none', 'patient', 'hospital'),
  largestStep: fc.constantFrom(0, 0.02),
  horizonYears: fc.constantFrom(1, 2),
  atYears: fc.constant([0.1, 1, 2]),
});

/** Every estimate within an answer, with where it stands. */
function estimatesIn(value: unknown, at = ''): readonly { readonly at: string; readonly value: number; readonly lower: number; readonly upper: number }[] {
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value)) return [];
  const { value: own, lower, upper } = value as Record<string, unknown>;
  if (typeof own === 'number' && typeof lower === 'number' && typeof upper === 'number') return [{ at, value: own, lower, upper }];
  return Object.entries(value).flatMap(([key, inner]) => estimatesIn(inner, `${at}.${key}`));
}

describe('whatever is asked of however few procedures', () => {
  const ours = ['competingRisks', 'difference', 'clustering', 'precision'] as const;

  it('there is an estimate between its limits, or a reason', async () => {
    await fc.assert(fc.asyncProperty(fc.array(procedure, { minLength: 1, maxLength: 30 }), question, async (list, asked) => {
      const database = await followupDatabase(list);
      try {
        for (const name of ours) {
          const answer = await answerChapter({ database, source }, Question.parse(asked), name);
          const slack = 1e-9; // NaN: no limit on that side
          const outside = estimatesIn(answer).filter(({ value, lower, upper }) => !Number.isFinite(value) || lower > value + slack || value > upper + slack);
          expect(outside, name).toEqual([]);
        }
      } finally {
        await database.close();
      }
    }), { numRuns: 40, seed: 1 });
  });
});
