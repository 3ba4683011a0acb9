import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { UnitsQuestion, type ChosenUnit } from '@/lib/contract/unitsQuestion';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { allUnits } from '@/lib/screening/units/allUnits';
import { oneUnit } from '@/lib/screening/units/oneUnit';
import type { Driver, UnitAnalysis } from '@/lib/screening/units/unitsResult';
import { loadSample } from '../../analysis/sampleExtract';
import { differences } from '../../cli/differences';
import { estimated } from '../../stats/designs';
import { fixture } from '../../stats/rows';

interface Recorded { readonly name: string; readonly input: { readonly version: string; readonly question: { readonly kind: 'hospital' | 'surgeon' } }; readonly expected: object }
const [hospitals, surgeons, ...chosen] = (fixture('units') as { readonly cases: readonly [Recorded, Recorded, ...(Recorded & { input: { unit: string } })[]] }).cases;

// tests/reference/units.R: R 4.2.2, survival 3.5-3, MASS 7.3-58.2, from the CSV files of the sample extract to the estimates.
describe('units of the sample registry, against R', () => {
  let extract: LoadedExtract;
  beforeAll(async () => {
    extract = await loadSample();
  });
  afterAll(() => extract.database.close());

  it.each([hospitals, surgeons])('$name', async ({ input, expected }) => {
    expect(extract.source.version).toBe(input.version);
    const { procedures, observed, units, funnel, spread } = estimated(await allUnits(extract, UnitsQuestion.parse(input.question)));
    const known = units.flatMap(({ id, standardised, criteria }) => (standardised.status === 'ok' ? [{ id, ...standardised, limit: criteria.find(({ name }) => name === 'limit')!.bound }] : []));
    expect(differences(expected, {
      procedures, observed, overdispersion: funnel.overdispersion, spread,
      units: { id: known.map(({ id }) => id), observed: known.map((u) => u.observed), expected: known.map((u) => u.expected), upper: known.map((u) => u.limit) },
      asked: units.filter(({ status }) => status === 'flagged').map(({ id }) => id),
    }, 1e-8)).toEqual([]);
  });

  it.each(chosen)('$name', async ({ input, expected }) => {
    const unit: ChosenUnit = { kind: input.question.kind, id: input.unit, chosenPeers: [] };
    const found = estimated(await oneUnit(extract, UnitsQuestion.parse(input.question), unit));
    const { observed, expected: e } = estimated(found.line.standardised), checks = new Map(found.quality.map((check) => [check.name, [check.own, check.peers].map(({ count, of }) => [count, of])]));
    const reasons = driver(found, 'reason');
    expect(differences(expected, {
      observed, expected: e, reference: found.reference,
      reason: { observed: byKey(reasons, reasonKeys, 'observed'), expected: byKey(reasons, reasonKeys, 'expected') },
      design: { ...asCut(driver(found, 'design')), peers: peersOf(driver(found, 'design')) }, indication: asCut(driver(found, 'indication')),
      years: { key: found.years.map(({ year }) => String(year)), procedures: found.years.map((y) => y.procedures), observed: found.years.map((y) => y.observed), expected: found.years.map((y) => y.expected) },
      crude: ['unit', 'peers'].map((side) => {
        const at = found.atTimes.filter(({ group }) => group === side), values = at.map(({ estimate }) => ('value' in estimate ? estimate : { value: NaN, lower: NaN, upper: NaN }));
        return { atRisk: at.map(({ atRisk }) => atRisk), percent: values.map((v) => v.value), lower: values.map((v) => v.lower), upper: values.map((v) => v.upper) };
      }),
      adjusted: ['unit', 'peers'].map((side) => ('status' in found.adjustedAtTimes ? found.adjustedAtTimes.reason
        : found.adjustedAtTimes.filter(({ group }) => group === side).map(({ estimate }) => ('value' in estimate ? estimate.value : estimate.reason)))),
      quality: Object.fromEntries(checks), linked: checks.get('linked_otherwise'),
    }, 1e-8)).toEqual([]);
  });
});

const reasonKeys = ['loosening', 'instability', 'infection', 'fracture', 'cuff_failure', 'other', 'not_recorded'];
const driver = ({ drivers }: UnitAnalysis, name: Driver['name']): Driver => drivers.find((d) => d.name === name)!;
const byKey = ({ levels }: Driver, keys: readonly string[], what: 'observed' | 'expected'): number[] => keys.map((key) => levels.find((level) => level.key === key)?.[what] ?? 0);
function asCut({ levels }: Driver) {
  const sorted = levels.toSorted((a, b) => (a.key < b.key ? -1 : 1));
  return { key: sorted.map((l) => l.key), procedures: sorted.map((l) => l.procedures), observed: sorted.map((l) => l.observed), expected: sorted.map((l) => l.expected) };
}

const peersOf = ({ levels }: Driver): number[] => levels.toSorted((a, b) => (a.key < b.key ? -1 : 1)).map(({ peersRatio }) => (peersRatio !== null && 'value' in peersRatio ? peersRatio.value : NaN));
