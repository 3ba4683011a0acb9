import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { UnitsQuestion, type ChosenUnit, type UnitKind } from '@/lib/contract/unitsQuestion';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { allUnits } from '@/lib/screening/units/allUnits';
import { oneUnit } from '@/lib/screening/units/oneUnit';
import { ownCases } from '@/lib/screening/units/ownCases';
import { unitNames, type UnitNames } from '@/lib/screening/units/unitNames';
import { loadSample } from '../../analysis/sampleExtract';
import { estimated } from '../../stats/designs';

interface Truth { readonly planted: { readonly hospitals: readonly { readonly hospital: string }[]; readonly surgeon: { readonly surgeon: string } } }
const { planted } = JSON.parse(readFileSync(new URL('../../../sample-registry/truth.json', import.meta.url), 'utf8')) as Truth;
const plantedHospitals = planted.hospitals.map(({ hospital }) => hospital);

let extract: LoadedExtract, names: UnitNames;
beforeAll(async () => {
  extract = await loadSample();
  names = await unitNames(extract);
});
afterAll(() => extract.database.close());

const asked = (given: object = {}) => UnitsQuestion.parse(given);
const chosen = (kind: UnitKind, id: string, chosenPeers: readonly string[] = []): ChosenUnit => ({ kind, id, chosenPeers: [...chosenPeers] });
const flagged = async (kind: UnitKind) => estimated(await allUnits(extract, asked({ kind }))).units.filter(({ status }) => status === 'flagged').map(({ id }) => id);

describe('with the usual settings, the sample registry', () => {
  it('has its planted hospitals asked about, and of the others no more than the share of false alarms', async () => {
    const found = await flagged('hospital'), others = found.filter((id) => !plantedHospitals.includes(id));
    expect(plantedHospitals.filter((id) => !found.includes(id))).toEqual([]);
    expect(others.length).toBeLessThanOrEqual(0.025 * (names.hospitals.length - plantedHospitals.length));
  });

  it('has its planted surgeon asked about, and of those at other hospitals than the planted ones no more than the share of false alarms', async () => {
    const found = await flagged('surgeon');
    expect(found).toContain(planted.surgeon.surgeon);
    const elsewhere = names.surgeons.filter(({ id, hospitals }) => id !== planted.surgeon.surgeon && !hospitals.some((h) => plantedHospitals.includes(h)));
    expect(elsewhere.filter(({ id }) => found.includes(id)).length).toBeLessThanOrEqual(0.025 * elsewhere.length);
  });

  it.each(['hospital', 'surgeon'] as const)('expects of every %s together the revisions that there were, in the order of identifiers', async (kind) => {
    const { units, observed, procedures, spread } = estimated(await allUnits(extract, asked({ kind })));
    expect(units.map(({ id }) => id)).toEqual(kind === 'hospital' ? names.hospitals.map(({ id }) => id) : names.surgeons.map(({ id }) => id));
    expect(units.reduce((sum, u) => sum + u.procedures, 0)).toBe(procedures);
    const ratios = units.map(({ standardised }) => estimated(standardised));
    expect(ratios.reduce((sum, r) => sum + r.observed, 0)).toBe(observed);
    expect(ratios.reduce((sum, r) => sum + r.expected, 0)).toBeCloseTo(observed, 6);
    expect(spread.status).toBe('ok');
    for (const { standardised, shrunken } of units) { // drawn towards the mean, never past it
      const { ratio } = estimated(standardised), { mean } = estimated(shrunken), centre = spread.status === 'ok' ? spread.mean : NaN;
      expect((mean - ratio) * (centre - mean)).toBeGreaterThanOrEqual(0);
    }
  });
});

describe('a planted hospital beside its peers', () => {
  const hospital = plantedHospitals[0]!;

  it('is asked about, and every way to cut its procedures adds up to its numbers', async () => {
    const { line, drivers, years, surgeons, curves, peers } = estimated(await oneUnit(extract, asked(), chosen('hospital', hospital)));
    const { observed, expected } = estimated(line.standardised), whole = { observed, procedures: line.procedures };
    expect({ id: line.id, status: line.status, hospitals: peers.hospitals }).toEqual({ id: hospital, status: 'flagged', hospitals: names.hospitals.length - 1 });
    expect(drivers.map(({ name }) => name)).toEqual(['reason', 'design', 'design', 'model', 'model', 'indication', 'class', 'period', 'surgeon', 'surgeonVolume', 'learning']);
    const total = (parts: readonly { readonly observed: number; readonly expected: number }[]) =>
      parts.reduce((sum, p) => ({ observed: sum.observed + p.observed, expected: sum.expected + p.expected }), { observed: 0, expected: 0 });
    for (const { name, levels } of drivers) {
      expect(total(levels).observed, name).toBe(observed);
      expect(total(levels).expected, name).toBeCloseTo(expected, 8);
      for (const level of levels) expect(level.excess).toBe(level.observed - level.expected);
      if (name !== 'reason') expect(levels.reduce((sum, l) => sum + l.procedures, 0), name).toBe(whole.procedures);
    }
    expect(total(years).observed).toBe(observed);
    expect(total(years).expected).toBeCloseTo(expected, 8);
    const bySurgeon = surgeons.map(({ standardised }) => estimated(standardised));
    expect(total(bySurgeon).observed).toBe(observed);
    expect(total(bySurgeon).expected).toBeCloseTo(expected, 8);
    expect(surgeons.map(({ id }) => id)).toEqual(names.surgeons.filter(({ hospitals }) => hospitals.includes(hospital)).map(({ id }) => id));
    expect(surgeons.every(({ rank }) => rank === null)).toBe(true);
    expect(curves.map(({ group }) => group)).toEqual(['unit', 'peers']);
  });

  it('has its revised procedures listed by their own keys, as many as were observed', async () => {
    const { line } = estimated(await oneUnit(extract, asked(), chosen('hospital', hospital))), cases = await ownCases(extract, asked(), chosen('hospital', hospital));
    expect(cases).toHaveLength(estimated(line.standardised).observed);
    expect(new Set(cases.map(({ procedureId }) => procedureId)).size).toBe(cases.length);
    const { rowCount } = await extract.database.query({
      sql: `SELECT 1 FROM procedures WHERE hospital_id = ? AND procedure_id IN (${cases.map(() => '?').join(', ')})`, params: [hospital, ...cases.map(({ procedureId }) => procedureId)],
    });
    expect(rowCount).toBe(cases.length);
    expect(cases.every(({ days, procedureDate }) => days >= 0 && days <= 3653 && /^\d{4}-\d\d-\d\d$/.test(procedureDate))).toBe(true);
  });

  it.each([
    { peers: 'region', hospitals: () => names.hospitals.filter(({ region }) => region === names.hospitals.find(({ id }) => id === hospital)!.region).length - 1 },
    { peers: 'volume', hospitals: () => Math.ceil(names.hospitals.length / 3) - 1 },
    { peers: 'chosen', hospitals: () => 2 },
  ])('held against peers by $peers', async ({ peers, hospitals }) => {
    const found = estimated(await oneUnit(extract, asked({ peers }), chosen('hospital', hospital, ['H001', 'H010', hospital])));
    expect(found.peers.hospitals).toBe(hospitals());
    expect(found.reference.procedures).toBe(found.peers.procedures);
    expect(found.line.procedures + found.line.leftOut + found.reference.procedures).toBe(found.attrition.at(-1)!.remaining);
  });

  it('a benchmark says where it comes from, and one of another joint gives no verdict', async () => {
    const benchmark = { percent: 8, margin: 2, atYears: 10, joint: 'shoulder', source: 'Agreed by the department', setIn: 2020 };
    const judged = async (change: object) => estimated(await oneUnit(extract, asked({ benchmark: { ...benchmark, ...change } }), chosen('hospital', hospital))).benchmark!;
    const own = await judged({}), other = await judged({ joint: 'hip', source: 'NICE TA304', setIn: 2014, percent: 5, margin: 1 }), late = await judged({ atYears: 12 });
    expect(estimated(own.verdict).verdict).toBe('inferiorBeyondMargin');
    expect(own).toMatchObject({ hospitals: 1, atRisk: 298 });
    expect(own.notes.join(' ')).toContain('Agreed by the department');
    expect(other.verdict).toEqual({ status: 'notEstimable', reason: 'the benchmark was set for the hip; a threshold belongs to its joint, and these are procedures of the shoulder' });
    expect(late.verdict).toEqual({ status: 'notEstimable', reason: 'beyond the 10 years that are looked at' });
  });
});

describe('who can be asked about', () => {
  it('everyone in the extract, by identifier, surgeons with their hospitals', () => {
    expect(names.hospitals.reduce((sum, h) => sum + h.procedures, 0)).toBe(names.surgeons.reduce((sum, s) => sum + s.procedures, 0));
    for (const list of [names.hospitals, names.surgeons]) expect(list.map(({ id }) => id)).toEqual(list.map(({ id }) => id).toSorted());
    expect(names.surgeons.every(({ hospitals }) => hospitals.length > 0)).toBe(true);
  });

  it('one without procedures in the cohort has no answer, and the reason does not name it', async () => {
    expect(await oneUnit(extract, asked(), chosen('hospital', 'H999'))).toMatchObject({ status: 'empty', reason: 'No procedure of this hospital meets these conditions.' });
    expect(await oneUnit(extract, asked({ peers: 'chosen' }), chosen('surgeon', planted.surgeon.surgeon))).toMatchObject({ status: 'empty', reason: 'There are no peers to hold this surgeon against: other surgeons at 0 chosen hospitals.' });
    expect(await allUnits(extract, asked({ cohort: { firstYear: 2090 } }))).toMatchObject({ status: 'empty', reason: 'No procedure of the extract meets these conditions.' });
  });

  it('a newer question stops the work on an older one', async () => {
    const newer = new AbortController();
    const work = oneUnit(extract, asked(), chosen('hospital', plantedHospitals[0]!), { signal: newer.signal, onProgress: ({ fraction }) => { if (fraction > 0.2) newer.abort(new Error('superseded')); } });
    await expect(work).rejects.toThrow('superseded');
  });
});
