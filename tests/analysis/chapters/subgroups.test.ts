import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Subgroups } from '@/lib/analysis/chapters/subgroupsResult';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { FollowupRow } from '../../cohort/followup';
import { differences } from '../../cli/differences';
import { fixture } from '../../stats/rows';
import { loadSample } from '../sampleExtract';
import { chapterOf, chapterOfRows, limitsOf } from './ask';

const asRecorded = ({ factors }: Subgroups) => factors.map(({ factor, procedures, events, test, levels }) => ({
  factor, procedures, events,
  test: test.status === 'ok' ? { chisq: test.chisq, df: test.df, p: test.p, adjustedP: test.adjustedP } : test.reason,
  levels: 'status' in levels ? levels.reason : [...levels].sort((a, b) => (a.level < b.level ? -1 : 1)).map((level) => ({
    level: level.level, procedures: level.procedures, events: level.events,
    ofGroup: { procedures: level.ratios.map((r) => r.procedures), events: level.ratios.map((r) => r.events) },
    ratio: level.ratios.map(limitsOf),
  })),
}));

interface Recorded { readonly name: string; readonly input: { readonly version: string; readonly question: object }; readonly expected: readonly unknown[] }

describe('subgroups of the sample registry', () => {
  let extract: LoadedExtract;
  beforeAll(async () => {
    extract = await loadSample();
  });
  afterAll(() => extract.database.close());

  // tests/reference/sampleSubgroups.R: R 4.2.2, survival 3.5-3, from the CSV files of the extract to the estimates.
  it.each((fixture('sampleSubgroups') as { readonly cases: readonly Recorded[] }).cases)('have the ratios and tests that R has: $name', async ({ input, expected }) => {
    expect(extract.source.version).toBe(input.version);
    const chapter = await chapterOf(extract, 'subgroups', input.question);
    expect(chapter.tests).toBe(expected.length);
    expect(differences(expected, asRecorded(chapter), 1e-7)).toEqual([]);
  });
});

const revised: FollowupRow = { ending: 'revision', kind: 'major', reason: 'glenoid_loosening' };

/** In women keeled components are revised as often as pegged ones, in men three times as often; all ages and indications alike. */
const worseInMen: readonly FollowupRow[] = Array.from({ length: 480 }, (_, i) => {
  const keeled = i % 2 === 1, man = i % 4 >= 2, turn = Math.floor(i / 4);
  const often = keeled && man ? 3 : 1;
  return {
    ...(keeled && { glenoid_design: 'all_poly_keeled', glenoid_model: 'G-20' }), sex: man ? 'male' : 'female', exit_day: 3000 + turn,
    ...(turn % 10 < often && { ...revised, exit_day: 300 + 7 * turn }),
  };
});

describe('a ratio that is another one in men', () => {
  it('is told from the test of sex, the one factor that divides these patients', async () => {
    const { factors, tests } = await chapterOfRows(worseInMen, 'subgroups', { reference: 'all_poly_pegged' });
    expect(factors.map(({ factor }) => factor)).toEqual(['sex']);
    expect(tests).toBe(1);
    const [{ test, levels, adjustedFor }] = factors as unknown as [(typeof factors)[number]];
    if (test.status !== 'ok' || 'status' in levels) throw new Error('no estimate');
    expect(test).toMatchObject({ df: 1, adjustedP: test.p });
    expect(test.p).toBeLessThan(0.1);
    expect(levels.map(({ label, procedures }) => [label, procedures])).toEqual([['Women', 240], ['Men', 240]]);
    expect(levels.map(({ ratios }) => limitsOf(ratios[0]!)[0]! > 2)).toEqual([false, true]);
    expect(adjustedFor).toEqual(['Sex']);
  });

  it('says within which subgroup there is nothing to compare', async () => {
    const rows = worseInMen.map((row) => (row['sex'] === 'male' && row['glenoid_design'] === undefined ? { ...row, ending: 'censored', kind: null, reason: null } : row));
    const { factors: [sex] } = await chapterOfRows(rows, 'subgroups', { reference: 'all_poly_pegged' });
    if (sex === undefined || 'status' in sex.levels) throw new Error('no levels');
    expect(sex.levels[1]!.ratios[0]!.estimate).toEqual({ status: 'notEstimable', reason: 'no revisions in the reference group in this subgroup' });
    expect(sex.test).toEqual({ status: 'notEstimable', reason: 'no two subgroups have an estimate' });
  });

  it('is not asked of what is compared, nor where there is nothing to compare', async () => {
    expect((await chapterOfRows(worseInMen, 'subgroups', { compare: 'sex' })).factors).toEqual([]);
    const { factors, tests } = await chapterOfRows(worseInMen, 'subgroups', { groups: ['all_poly_keeled'] });
    expect(tests).toBe(0);
    expect(factors).toMatchObject([{ levels: { status: 'notEstimable', reason: 'there is only one group' } }]);
  });

  it('is not adjusted twice for the factor that is a stratum', async () => {
    const { factors: [sex] } = await chapterOfRows(worseInMen, 'subgroups', { strata: ['sex'], reference: 'all_poly_pegged' });
    expect(sex!.adjustedFor).toEqual(['Sex (stratified)']);
    expect(sex!.test).toMatchObject({ status: 'ok', df: 1 });
  });
});
