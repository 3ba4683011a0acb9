import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ChosenComponent, ScreeningQuestion } from '@/lib/contract/screeningQuestion';
import { sql } from '@/lib/engine/database';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { explainComponent } from '@/lib/screening/components/explainComponent';
import type { ComponentExplained } from '@/lib/screening/components/explainedResult';
import { followupDatabase, type FollowupRow } from '../cohort/followup';
import { loadSample } from '../analysis/sampleExtract';
import { followed, revised, source, times } from '../analysis/chapters/ask';

async function explained(extract: LoadedExtract, asked: object, chosen: object): Promise<ComponentExplained> {
  const result = await explainComponent(extract, ScreeningQuestion.parse(asked), ChosenComponent.parse(chosen));
  if (result.status === 'empty') throw new Error(result.reason);
  return result;
}

describe('what lies behind a flagged model of the sample registry', () => {
  let extract: LoadedExtract, found: ComponentExplained;
  beforeAll(async () => {
    extract = await loadSample();
    found = await explained(extract, {}, { model: 'H-SHO-02' });
  });
  afterAll(() => extract.database.close());

  it('every way to cut its procedures adds up to the whole', () => {
    const { whole, drivers, partners } = found, all = [...drivers, ...partners.map(({ driver }) => driver)];
    expect(drivers.map(({ name }) => name)).toEqual(['reason', 'hospital', 'surgeon', 'period', 'indication', 'class', 'learning']);
    expect(partners.map(({ role }) => role)).toEqual(['glenoid', 'glenosphere', 'humeral_head', 'humeral_insert']);
    for (const { label, name, levels } of all) {
      const sum = (of: 'procedures' | 'observed' | 'expected' | 'excess') => levels.reduce((total, level) => total + level[of], 0);
      if (name !== 'reason') expect(sum('procedures'), label).toBe(whole.procedures);
      expect(sum('observed'), label).toBe(whole.observed);
      expect(sum('expected'), label).toBeCloseTo(whole.expected, 8);
      expect(sum('excess'), label).toBeCloseTo(whole.observed - whole.expected, 8);
    }
  });

  it('is used by many and not one hospital’s matter, by a recount', async () => {
    const [hospitals, surgeons] = found.concentration;
    const result = await extract.database.query(sql(`SELECT count(*)::INTEGER AS n FROM followup WHERE joint = 'shoulder' AND humeral_stem_model::VARCHAR = 'H-SHO-02'
AND indication NOT IN ('tumour', 'other_indication') GROUP BY hospital ORDER BY n DESC`));
    expect(found.whole.procedures).toBe(result.numbers('n').reduce((sum, n) => sum + n, 0)); // nobody else of these indications was revised: nothing to compare with
    expect(hospitals).toMatchObject({ unit: 'hospital', users: 53, othersUsers: 60, largest: { procedures: result.numbers('n')[0] } });
    for (const { largest, elsewhere, shareOfProcedures, shareOfRevisions } of [hospitals!, surgeons!]) {
      expect(largest.procedures + elsewhere.procedures).toBe(found.whole.procedures);
      expect(largest.expected + elsewhere.expected).toBeCloseTo(found.whole.expected, 8);
      expect(shareOfProcedures).toBeCloseTo(largest.procedures / found.whole.procedures, 12);
      expect(shareOfRevisions).toBeCloseTo(largest.observed / found.whole.observed, 12);
      expect('value' in elsewhere.ratio && elsewhere.ratio.lower).toBeGreaterThan(1);
    }
  });

  it('was used with a glenoid component that is flagged itself, and says so', () => {
    const glenoids = found.partners.find(({ role }) => role === 'glenoid')!;
    expect(glenoids.flagged).toEqual(['G-FLU-02']);
    expect(glenoids.driver.levels.find(({ key }) => key === 'G-FLU-02')!.procedures).toBeGreaterThan(0);
    expect(found.notes.join(' ')).toContain('glenoid component G-FLU-02, which it was used with, is flagged itself');
    expect(found.comparison.standing).toBe('upheld');
  });

  it('a model that nobody has, or that has no others, is not explained', async () => {
    const ask = (asked: object, model: string) => explainComponent(extract, ScreeningQuestion.parse(asked), ChosenComponent.parse({ model }));
    expect(await ask({}, 'H-NIX-01')).toMatchObject({ status: 'empty', reason: expect.stringContaining('H-NIX-01') as string });
    expect(await ask({ exceptModels: ['G-PEG-01', 'G-PEG-02', 'G-PEG-03', 'G-PEG-04', 'G-PEG-05'] }, 'G-PEG-06')).toMatchObject({ status: 'empty', reason: expect.stringContaining('no others of its kind') as string });
  });
});

describe('by hand', () => {
  // The others: 98 followed on, 2 revised of 100 at risk on day 100, for infection and pain; so each procedure followed beyond expects 0.02, half for each reason.
  const other: FollowupRow = { glenoid_model: 'A', hospital: 'H1', surgeon: 'S1' };
  const others = [...times(98, { ...other, ...followed(3000) }), { ...other, ...revised(100, 'infection') }, { ...other, ...revised(100, 'pain') }];
  const own: FollowupRow = { glenoid_model: 'X', hospital: 'H2', surgeon: 'S2', indication: 'osteoarthritis' };
  const model = [
    ...times(60, { ...own, ...followed(2000), humeral_stem_model: 'S-1' }), ...times(8, { ...own, ...revised(1500, 'infection'), humeral_stem_model: 'S-2' }),
    ...times(30, { ...own, ...followed(2000), hospital: 'H3', surgeon: 'S3' }), ...times(2, { ...own, ...followed(50), hospital: 'H3', surgeon: 'S4' }),
  ];

  it('expects by reason, user and partner what the others’ hazard says, and leaves what ended before its first step out of it', async () => {
    const database = await followupDatabase([...others, ...model]);
    try {
      const { whole, drivers, partners, concentration: [hospitals] } = await explained({ database, source }, { roles: ['glenoid'], adjust: [] }, { model: 'X' });
      const level = (name: string, key: string) => drivers.find((driver) => driver.name === name)!.levels.find((l) => l.key === key)!;
      expect(whole.procedures).toBe(100);
      expect(whole.observed).toBe(8);
      expect(whole.expected).toBeCloseTo(98 * 0.02, 12);
      expect([level('reason', 'infection').observed, level('reason', 'other').observed]).toEqual([8, 0]);
      expect(level('reason', 'infection').expected).toBeCloseTo(0.98, 12);
      expect(level('reason', 'other').expected).toBeCloseTo(0.98, 12);
      expect([level('hospital', 'H2').expected, level('hospital', 'H3').expected].map((e) => Number(e.toFixed(12)))).toEqual([1.36, 0.6]);
      expect(hospitals).toMatchObject({ users: 2, othersUsers: 1, largest: { key: 'H2', procedures: 68, observed: 8 }, elsewhere: { procedures: 32, observed: 0 }, shareOfProcedures: 0.68, shareOfRevisions: 1 });
      expect(partners.map(({ role }) => role)).toEqual(['humeral_stem']);
      expect(partners[0]!.driver.levels.map(({ key, procedures, observed }) => [key, procedures, observed])).toEqual([['S-1', 60, 0], ['none', 32, 0], ['S-2', 8, 8]]);
    } finally {
      await database.close();
    }
  });
});
