import { afterEach, describe, expect, it } from 'vitest';
import { UnitsQuestion, type ChosenUnit } from '@/lib/contract/unitsQuestion';
import type { Database } from '@/lib/engine/database';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { allUnits } from '@/lib/screening/units/allUnits';
import { oneUnit } from '@/lib/screening/units/oneUnit';
import { followed, revised, source, times } from '../../analysis/chapters/ask';
import { followupDatabase, type FollowupRow } from '../../cohort/followup';
import { estimated } from '../../stats/designs';

// Few procedures, so that the expected numbers can be worked out on paper: nothing adjusted for, nothing stopped.

let open: Database | null = null;
afterEach(async () => { await open?.close(); });
async function registryOf(rows: readonly FollowupRow[]): Promise<LoadedExtract> {
  open = await followupDatabase(rows);
  await open.query({ sql: 'CREATE TABLE revisions (procedure INTEGER, counts_as VARCHAR, linked_by_id BOOLEAN)', params: [] });
  return { database: open, source };
}
const asked = (given: object = {}) => UnitsQuestion.parse({ adjust: [], largestStep: 0, ...given });
const at = (hospital: string, rows: readonly FollowupRow[], more: FollowupRow = {}): readonly FollowupRow[] => rows.map((row) => ({ hospital, surgeon: `of ${hospital}`, ...row, ...more }));
const chosen = (id: string): ChosenUnit => ({ kind: 'hospital', id, chosenPeers: [] });

describe('two hospitals, each the other\'s reference', () => {
  // Harbour: four at risk, one revised on day 100; two left, one revised on day 300. Steps 1/4 and 1/2.
  const harbour = at('Harbour', [revised(100), followed(200), revised(300), followed(400)]);
  // Hill: followed to days 50, 150, 350 and from 200 to 350: 0 + 1/4 + 3/4 + 1/2 expected, one revised.
  const hill = at('Hill', [followed(50), revised(150), followed(350), { ...followed(350), entry_day: 200 }]);

  it('expects of Hill what Harbour\'s hazard gives over its follow-up, late entry allowed for', async () => {
    const { line, reference, drivers, years } = estimated(await oneUnit(await registryOf([...harbour, ...hill]), asked(), chosen('Hill')));
    expect(estimated(line.standardised)).toMatchObject({ observed: 1, expected: 1.5 });
    expect(reference).toEqual({ procedures: 4, observed: 2, untilDay: 400 });
    expect(drivers.find(({ name }) => name === 'reason')!.levels).toMatchObject([{ key: 'loosening', observed: 1, expected: 1.5, excess: -0.5, peersPercent: 100 }]);
    expect(years).toMatchObject([{ year: 2010, procedures: 4, observed: 1, expected: 1.5 }]);
    expect(line.status).toBe('notAssessed');
  });

  it('neither is in its own reference among all, as each has more than a tenth of it', async () => {
    const { units, notes, procedures, observed } = estimated(await allUnits(await registryOf([...harbour, ...hill]), asked()));
    expect(units.map(({ id, standardised }) => [id, estimated(standardised).expected])).toEqual([
      // Hill's one revision, on day 150, among the two at risk, over which three of Harbour were followed
      ['Harbour', 1.5], ['Hill', 1.5],
    ]);
    expect({ procedures, observed }).toEqual({ procedures: 8, observed: 3 });
    expect(notes).toContain('2 units have more than 10 % of all procedures and are each held against the others only.');
    expect(notes).toContain('How much units differ beyond chance is not known (fewer than 10 units (2)): the limits allow for chance alone.');
  });

  it('revisions by reason are shared out as Harbour\'s were on each day', async () => {
    const rows = [...at('Harbour', [revised(100, 'infection'), revised(100, 'instability'), followed(200), followed(400)]), ...at('Hill', [followed(150), revised(150, 'pain')])];
    const { drivers } = estimated(await oneUnit(await registryOf(rows), asked(), chosen('Hill')));
    expect(drivers[0]!.levels.map(({ key, observed, expected, peersPercent }) => [key, observed, expected, peersPercent])).toEqual([
      ['instability', 0, 0.5, 50], ['infection', 0, 0.5, 50], ['other', 1, 0, 0],
    ]);
  });

  it('procedures without a covariate, or unlike any of the reference, are counted as left out', async () => {
    const rows = [...at('Harbour', [...times(10, revised(100)), ...times(10, followed(200))], { bmi: 24 }), ...at('Harbour', [...times(5, revised(50)), ...times(20, followed(200))], { bmi: 32 }),
      ...at('Hill', [{ ...followed(300), bmi: null }, { ...revised(120), bmi: 24 }, { ...followed(200), bmi: 41 }])];
    const { line, leftOut, quality, notes } = estimated(await oneUnit(await registryOf(rows), asked({ adjust: ['bmi'] }), chosen('Hill')));
    expect(leftOut).toEqual([{ covariate: 'Body mass index', missing: 1 }]);
    expect({ procedures: line.procedures, leftOut: line.leftOut }).toEqual({ procedures: 1, leftOut: 2 });
    expect(notes.join(' ')).toContain('35 kg/m² and over');
    expect(notes.join(' ')).toContain('procedures unlike those of the reference are left out');
    expect(quality.find(({ name }) => name === 'left_out')).toMatchObject({ own: { count: 1, of: 3 }, peers: { count: 0, of: 45 } });
  });

  it('a hospital alone has nobody to be held against', async () => {
    const extract = await registryOf(harbour);
    expect(await oneUnit(extract, asked(), chosen('Harbour'))).toMatchObject({ status: 'empty', reason: 'There are no peers to hold this hospital against: all other hospitals.' });
    const { units: [only] } = estimated(await allUnits(extract, asked()));
    expect(only).toMatchObject({ status: 'notAssessed', standardised: { status: 'notEstimable', reason: 'there are no other procedures to compare with' } });
  });

  it('none revised where many are expected is pointed out before any claim', async () => {
    const rows = [...at('Harbour', [...times(50, revised(100)), ...times(50, followed(400))]), ...at('Hill', times(30, followed(400)))];
    const { quality, line } = estimated(await oneUnit(await registryOf(rows), asked(), chosen('Hill')));
    expect(estimated(line.standardised)).toMatchObject({ observed: 0, expected: 15 });
    expect(quality.find(({ name }) => name === 'without_revision')).toMatchObject({ own: { count: 1, of: 1 }, peers: { count: 0, of: 1 }, unlike: true });
  });
});

describe('a registry without any revision', () => {
  it('has no ratios, no spread and nobody to ask about', async () => {
    const { units, funnel, spread } = estimated(await allUnits(await registryOf([...at('Harbour', times(60, followed(400))), ...at('Hill', times(60, followed(300)))]), asked()));
    expect(units.map(({ status, standardised }) => [status, standardised])).toEqual(Array(2).fill(['notAssessed', { status: 'notEstimable', reason: 'in the reference: no revisions' }]));
    expect(funnel.units).toEqual([null, null]);
    expect(spread.status).toBe('notEstimable');
  });
});

describe('a reference that too few are followed in', () => {
  it('gives no expected number, and says so', async () => {
    const rows = [...at('Harbour', times(20, followed(400))), ...at('Hill', [revised(100), followed(300)])];
    const { line, drivers, years } = estimated(await oneUnit(await registryOf(rows), asked({ largestStep: 0.02 }), chosen('Hill')));
    expect(line.standardised).toEqual({ status: 'notEstimable', reason: 'in the reference: too few procedures at risk from the start' });
    expect({ status: line.status, drivers, years }).toEqual({ status: 'notAssessed', drivers: [], years: [] });
  });
});
