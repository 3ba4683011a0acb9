import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { RatioOverTime } from '@/lib/analysis/chapters/ratioOverTimeResult';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { FollowupRow } from '../../cohort/followup';
import { differences } from '../../cli/differences';
import { fixture } from '../../stats/rows';
import { loadSample } from '../sampleExtract';
import { chapterOf, chapterOfRows, limitsOf } from './ask';

interface Recorded { readonly name: string; readonly input: { readonly version: string; readonly question: object }; readonly days: readonly number[]; readonly expected: object }

const asRecorded = ({ test, single, smooth, found }: RatioOverTime, days: readonly number[]) => ({
  test,
  single: 'status' in single ? single.reason : single.map(limitsOf),
  smooth: smooth.map(({ curve }) => (curve.status === 'ok'
    ? days.map((day) => curve.days.indexOf(day)).map((k) => [curve.ratio[k], curve.lower[k], curve.upper[k]]) : curve.reason)),
  cuts: found.status === 'ok' ? found.cuts : found.reason,
  periods: found.status === 'ok' ? found.periods.flatMap(({ ratios }) => ratios.map(limitsOf)) : found.reason,
  within: found.status === 'ok' ? found.within : found.reason,
});

describe('the ratio over time on the sample registry', () => {
  let extract: LoadedExtract;
  beforeAll(async () => {
    extract = await loadSample();
  });
  afterAll(() => extract.database.close());

  // tests/reference/sampleRatioOverTime.R: R 4.2.2, survival 3.5-3, from the CSV files of the extract to the estimates.
  it.each((fixture('sampleRatioOverTime') as { readonly cases: readonly Recorded[] }).cases)('is what R finds: $name', async ({ input, days, expected }) => {
    expect(extract.source.version).toBe(input.version);
    const chapter = await chapterOf(extract, 'ratioOverTime', input.question);
    expect(differences(expected, asRecorded(chapter, days), 1e-7)).toEqual([]);
  });

  it('keeps the number at risk of the group, and stops where its curve or that of the reference may no longer be read', async () => {
    const { smooth: [only] } = await chapterOf(extract, 'ratioOverTime', { cohort: { classes: ['anatomic_total'] }, groups: ['all_poly_pegged', 'metal_backed'], largestStep: 0.001 });
    if (only?.curve.status !== 'ok') throw new Error('no curve');
    const { days, atRisk } = only.curve;
    expect(atRisk.at(-1)!).toBeGreaterThanOrEqual(500); // n is at least S / 0.001, and S above a half
    expect(days.length).toBeLessThan(120);
    expect([...atRisk].every((n, k) => k === 0 || n <= atRisk[k - 1]!)).toBe(true);
  });
});

const revised: FollowupRow = { ending: 'revision', kind: 'major', reason: 'glenoid_loosening' };

/** Every fifth pegged component is revised, spread over six years; keeled ones only from the third year on, but then three times as often. */
const lateLoosening: readonly FollowupRow[] = Array.from({ length: 400 }, (_, i) => {
  const keeled = i % 2 === 1, turn = Math.floor(i / 2), design = keeled ? { glenoid_design: 'all_poly_keeled', glenoid_model: 'G-20' } : {};
  if (turn % 5 > (keeled ? 1 : 0)) return { ...design, exit_day: 2400 + turn };
  return { ...design, ...revised, exit_day: keeled ? 1100 + 5 * turn : 20 + 10 * turn };
});

describe('a design that loosens late', () => {
  it('has no one ratio for all time: the ratios before and after the day of change lead', async () => {
    const { groupsProportional, test, found, smooth: [smooth] } = await chapterOfRows(lateLoosening, 'ratioOverTime', { reference: 'all_poly_pegged' });
    expect(groupsProportional).toBe(false);
    expect(test).toMatchObject({ status: 'ok', df: 1 });
    if (found.status !== 'ok' || smooth?.curve.status !== 'ok') throw new Error('no estimate');
    const [first] = found.cuts, [early, late] = found.periods;
    expect(first!.accepted).toBe(true);
    expect(first!.needed).toBeCloseTo(0.05 / first!.candidates, 12);
    expect(first!.day).toBeLessThanOrEqual(1100);
    expect(early!.ratios[0]!.estimate).toEqual({ status: 'notEstimable', reason: 'no revisions with All-polyethylene keeled in this period' });
    expect(limitsOf(late!.ratios[0]!)[0]).toBeGreaterThan(2);
    const { ratio } = smooth.curve;
    expect(ratio.at(-1)!).toBeGreaterThan(10 * ratio[0]!);
  });

  it('of one group alone has nothing to compare', async () => {
    const chapter = await chapterOfRows(lateLoosening, 'ratioOverTime', { groups: ['all_poly_keeled'] });
    const reason = { status: 'notEstimable', reason: 'there is only one group' };
    expect(chapter).toMatchObject({ test: reason, single: reason, found: reason, smooth: [] });
  });

  it('without any revision says so throughout', async () => {
    const rows = lateLoosening.map((row) => ({ ...row, ending: 'censored', kind: null, reason: null }));
    const { test, single, found, smooth } = await chapterOfRows(rows, 'ratioOverTime', {});
    for (const part of [test, single, found, smooth[0]!.curve]) expect(part).toEqual({ status: 'notEstimable', reason: 'no revisions' });
  });
});
