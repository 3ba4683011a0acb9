import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { BalanceRow, CaseMixCurves, SameCaseMix, WeightedCurves } from '@/lib/analysis/chapters/sameCaseMixResult';
import type { Estimate } from '@/lib/analysis/result';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { NotEstimable } from '@/lib/stats/cells';
import type { FollowupRow } from '../../cohort/followup';
import { differences } from '../../cli/differences';
import { fixture } from '../../stats/rows';
import { loadSample } from '../sampleExtract';
import { chapterOf, chapterOfRows, limitsOf } from './ask';

interface Standardised { readonly percent: readonly (readonly number[])[]; readonly atTimes?: unknown; readonly contrasts?: unknown }
interface Recorded {
  readonly name: string;
  readonly input: { readonly version: string; readonly question: object };
  readonly expected: { readonly crude: object; readonly standardised: Standardised; readonly weighted: object };
}

const limits = (estimate: Estimate | NotEstimable) => ('value' in estimate ? [estimate.value, estimate.lower, estimate.upper] : estimate.reason);
const known = <T extends { status: 'ok' }>(part: T | NotEstimable): T => {
  if (part.status !== 'ok') throw new Error(part.reason);
  return part;
};
const byTime = ({ atTimes }: CaseMixCurves) => [...new Set(atTimes.map(({ years }) => years))].map((years) => atTimes.filter((at) => at.years === years));
const curvesAsRecorded = (curves: CaseMixCurves) => ({
  atTimes: byTime(curves).map((groups) => groups.map(({ atRisk, estimate }) => ({ atRisk, percent: limits(estimate) }))),
  contrasts: curves.contrasts.map(({ difference, ratio }) => ({ difference: limits(difference), ratio: limits(ratio) })),
});

/** Levels in the order of their codes' names, as R sorts them. */
const sortedLevels = (rows: readonly BalanceRow[], sort: boolean) => (sort ? [...rows].sort((a, b) => ((a.level ?? '') < (b.level ?? '') ? -1 : 1)) : rows);

describe('one case mix on the sample registry', () => {
  let extract: LoadedExtract;
  beforeAll(async () => {
    extract = await loadSample();
  });
  afterAll(() => extract.database.close());

  // tests/reference/sampleSameCaseMix.R: R 4.2.2, survival 3.5-3, from the CSV files of the extract to the estimates.
  it.each((fixture('sampleSameCaseMix') as { readonly cases: readonly Recorded[] }).cases)('is what R has: $name', async ({ input, expected }) => {
    expect(extract.source.version).toBe(input.version);
    const { crude, standardised, weighted } = await chapterOf(extract, 'sameCaseMix', input.question);
    expect(differences(expected.crude, curvesAsRecorded(crude), 1e-8)).toEqual([]);
    const { percent, ...withLimits } = expected.standardised;
    expect(differences(percent, byTime(known(standardised)).map((groups) => groups.map(({ estimate }) => ('value' in estimate ? estimate.value : estimate.reason))), 1e-8)).toEqual([]);
    if (withLimits.atTimes !== undefined) { // errors from derivatives by weight, good to some six digits
      const { atTimes, contrasts } = curvesAsRecorded(known(standardised));
      expect(differences(withLimits, { atTimes: atTimes.map((groups) => groups.map((at) => at.percent)), contrasts }, 1e-5)).toEqual([]);
    }
    const { weights, balance, ratios, ...curves } = known(weighted);
    const covariates = [...new Set(balance.map(({ covariate }) => covariate))];
    const rows = covariates.flatMap((covariate) => sortedLevels(balance.filter((row) => row.covariate === covariate), covariate === 'indication'));
    expect(differences(expected.weighted, {
      ...curvesAsRecorded(curves),
      weights,
      ratios: 'status' in ratios ? ratios.reason : ratios.map(limitsOf),
      balance: rows.map(({ before, after }) => ({ before, after })),
    }, 1e-6)).toEqual([]);
  });

  it('has curves that pass through the percents at single times, and that stop where the group’s own does', async () => {
    const chapter = await chapterOf(extract, 'sameCaseMix', { cohort: { classes: ['anatomic_total'] }, groups: ['all_poly_pegged', 'metal_backed'], adjust: ['age', 'sex'], largestStep: 0.001 });
    const crude = chapter.crude.curves[1]!;
    if ('status' in crude) throw new Error(crude.reason);
    expect(crude.stop.stopped).toBe(true);
    const standardised = known(chapter.standardised), metal = standardised.curves[1]!;
    if ('status' in metal) throw new Error(metal.reason);
    expect(metal.stop).toEqual(crude.stop);
    expect(metal.days.at(-1)!).toBeLessThanOrEqual(crude.stop.day);
    expect([metal.days[0], metal.percent[0], metal.lower[0]]).toEqual([0, 0, 0]);
    const atFive = standardised.atTimes.find(({ group, years }) => group === 'metal_backed' && years === 5)!, k = metal.days.indexOf(1826);
    expect(limits(atFive.estimate)).toEqual([metal.percent[k], metal.lower[k], metal.upper[k]]);
    expect(standardised.atTimes.find(({ group, years }) => group === 'metal_backed' && years === 10)!.estimate).toHaveProperty('reason');
  });
});

const revised: FollowupRow = { ending: 'revision', kind: 'major', reason: 'glenoid_loosening' };

/** Of the old one in ten is revised, of the young four, whatever they are given; three of four of the old are given keeled components. */
const keeledForTheOld: readonly FollowupRow[] = Array.from({ length: 320 }, (_, i) => {
  const old = i % 2 === 0, turn = Math.floor(i / 2), keeled = old ? turn % 4 < 3 : turn % 4 === 3, often = old ? 1 : 4;
  return {
    age: old ? 80 : 60, exit_day: 3000 + turn, ...(keeled && { glenoid_design: 'all_poly_keeled', glenoid_model: 'G-20' }),
    ...(Math.floor(turn / 4) % 10 < often && { ...revised, exit_day: 200 + 10 * Math.floor(turn / 4) }),
  };
});
const asked = { reference: 'all_poly_pegged', adjust: ['age'], horizonYears: 8, atYears: [5] };
const five = (part: CaseMixCurves | WeightedCurves | NotEstimable) => {
  const [contrast] = known<CaseMixCurves>(part).contrasts;
  return 'value' in contrast!.difference ? contrast!.difference.value : NaN;
};

describe('a difference that is all of age', () => {
  it('is large as the groups are, and gone with one case mix, standardised or weighted', async () => {
    const { crude, standardised, weighted } = await chapterOfRows(keeledForTheOld, 'sameCaseMix', asked);
    expect(five(crude)).toBeLessThan(-5);
    expect(Math.abs(five(standardised))).toBeLessThan(1); // the hazards of the two ages are not quite proportional
    expect(Math.abs(five(weighted))).toBeLessThan(1e-6);
    const { balance, weights } = known(weighted);
    expect(balance.map(({ level }) => level)).toEqual(['55–64 years', '75 years and over']);
    for (const { before, after } of balance) {
      expect(before.largestDifference).toBeGreaterThan(1);
      expect(after.largestDifference).toBeLessThan(1e-9);
      expect(after.values[0]).toBeCloseTo(50, 8);
    }
    for (const { procedures, effectiveSize } of weights) expect(effectiveSize).toBeLessThan(procedures);
  });

  it('cannot be told from the group where all of an age had one of them', async () => {
    const rows = keeledForTheOld.map((row) => (row['age'] === 80 ? { ...row, glenoid_design: 'all_poly_keeled', glenoid_model: 'G-20' } : row));
    const { weighted } = await chapterOfRows(rows, 'sameCaseMix', asked);
    expect(weighted).toEqual({ status: 'notEstimable', reason: expect.stringContaining('so there is nothing to compare them with') as string });
  });

  it('is not looked into where nothing is adjusted for, nor with one group', async () => {
    const { crude, standardised, weighted } = await chapterOfRows(keeledForTheOld, 'sameCaseMix', { ...asked, adjust: [] });
    expect(crude.contrasts).toHaveLength(1);
    expect(standardised).toEqual({ status: 'notEstimable', reason: 'nothing is adjusted for' });
    expect(weighted).toEqual({ status: 'notEstimable', reason: 'nothing is adjusted for that weights could balance' });
    const alone: SameCaseMix = await chapterOfRows(keeledForTheOld, 'sameCaseMix', { ...asked, reference: null, groups: ['all_poly_keeled'] });
    expect([alone.crude.curves.length, alone.crude.contrasts.length]).toEqual([1, 0]);
    expect(alone.standardised).toMatchObject({ status: 'notEstimable' });
  });

  it('leaves out those without a covariate, in all three ways alike', async () => {
    const rows = keeledForTheOld.map((row, i) => ({ ...row, asa: i % 5 === 0 ? null : 2 + (i % 2) }));
    const { groups, weighted, leftOut, adjustedFor } = await chapterOfRows(rows, 'sameCaseMix', { ...asked, adjust: ['age', 'asa'] });
    expect(groups.reduce((sum, { procedures }) => sum + procedures, 0)).toBe(256);
    expect(known(weighted).weights.map(({ procedures }) => procedures)).toEqual(groups.map(({ procedures }) => procedures));
    expect([leftOut, adjustedFor]).toEqual([[{ covariate: 'ASA grade', missing: 64 }], ['Age', 'ASA grade']]);
  });
});

describe('hospitals that a question stratifies by', () => {
  it('are not balanced by weights, which is said', async () => {
    const rows = keeledForTheOld.map((row, i) => ({ ...row, hospital: `H${i % 3}` }));
    const { notes, weighted } = await chapterOfRows(rows, 'sameCaseMix', { ...asked, strata: ['hospital'] });
    expect(notes).toContain('Weights do not balance hospitals, which are too many; standardised curves do.');
    expect(known(weighted).balance.every(({ covariate }) => covariate === 'age')).toBe(true);
  });
});
