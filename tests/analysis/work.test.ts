import { afterAll, beforeAll, expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import { askedCohort } from '@/lib/analysis/askedCohort';
import { answerChapter, type ChapterName } from '@/lib/analysis/chapters';
import { Question } from '@/lib/contract/question';
import { View } from '@/lib/contract/view';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { comparisonReport } from '@/lib/reports/comparisonReport';
import { loadSample } from './sampleExtract';

// Work is counted, not timed: a slow machine is no defect, a scan too many is.

let sample: LoadedExtract, extract: LoadedExtract;
const nothing = { queries: 0, scans: 0, rowsReturned: 0 }, unread = { ...nothing, bytes: 0 }; // scans: readings of the whole of `followup`, not of its first row; bytes: of the numbers taken from answers
const work = { ...unread };

beforeAll(async () => {
  sample = await loadSample();
  extract = {
    ...sample,
    database: {
      ...sample.database,
      query: async (query) => {
        const result = await sample.database.query(query);
        work.queries += 1;
        work.scans += query.sql.split(/\bfrom followup\b(?! LIMIT)/i).length - 1;
        work.rowsReturned += result.rowCount;
        const weighed = <T extends ArrayBufferView>(taken: T): T => {
          work.bytes += taken.byteLength;
          return taken;
        };
        return { ...result, numbers: (name) => weighed(result.numbers(name)), positions: (name) => weighed(result.positions(name)) };
      },
    },
  };
});
afterAll(async () => { await sample.database.close(); });

async function workOf(act: () => Promise<unknown>) {
  Object.assign(work, unread);
  await act();
  return { ...work };
}

const asked = (cohort: object) => Question.parse({ cohort, adjust: ['age', 'sex'] });
const answer = (cohort: object) => workOf(() => analyse(extract, asked(cohort)));

it('reads a column once, and asks a changed filter of its distinct values only', async () => {
  const first = await answer({});
  expect(first).toMatchObject({ queries: 70, scans: 22, bytes: 3534016 }); // 4 a row and column read
  expect(await answer({})).toMatchObject(nothing);
  const sexes = await answer({ sexes: ['female'] });
  expect(sexes).toMatchObject({ queries: 1, scans: 0 });
  expect(sexes.bytes).toBeLessThan(20_000);
  expect(await answer({ sexes: ['female'], minAge: 60 })).toMatchObject({ queries: 1, scans: 0 });
  expect(await answer({ sexes: ['female'], minAge: 60, firstYear: 2005, designs: ['all_poly_pegged', 'metal_backed'] })).toMatchObject({ queries: 3, scans: 0 });
});

it('asks nothing of the database for another adjustment, cluster or view of what was read', async () => {
  const analysis = await analyse(extract, asked({}));
  expect(await workOf(() => Promise.resolve(comparisonReport(analysis, View.parse({ spanYears: 5 }))))).toMatchObject(nothing);
  expect(await workOf(() => analyse(extract, Question.parse({ adjust: ['sex'], cluster: 'surgeon' })))).toMatchObject(nothing);
});

it('reduces the cohort to the cells that differ', async () => {
  const cohort = await askedCohort(extract, asked({ sexes: ['female'] }), () => Promise.resolve());
  if (cohort.status !== 'ok') throw new Error(cohort.reason);
  expect(cohort.cohort.cells.exit.length).toBe(15265);
});

it('answers chapters from columns that were read, but for the reasons of revisions', async () => {
  await analyse(extract, asked({}));
  const chapter = (name: ChapterName) => workOf(() => answerChapter(extract, asked({}), name, {}));
  expect(await chapter('difference')).toMatchObject({ queries: 0, scans: 0 });
  expect(await chapter('subgroups')).toMatchObject({ queries: 0, scans: 0 });
  expect(await chapter('competingRisks')).toMatchObject({ queries: 1, scans: 1 });
  expect(await chapter('competingRisks')).toMatchObject({ queries: 0, scans: 0 });
});
