import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ContrastAtTime, Difference } from '@/lib/analysis/chapters/differenceResult';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { NotEstimable } from '@/lib/stats/cells';
import type { FollowupRow } from '../../cohort/followup';
import { differences } from '../../cli/differences';
import { fixture } from '../../stats/rows';
import { loadSample } from '../sampleExtract';
import { chapterOf, chapterOfRows, followed, keeled, pegged, revised, times, triple } from './ask';

function ok<T extends object>(result: T | NotEstimable): Exclude<T, NotEstimable> {
  if ('reason' in result) throw new Error(result.reason);
  return result as Exclude<T, NotEstimable>;
}
const valueOf = (estimate: Parameters<typeof triple>[0]): number => ok(estimate).value;

interface Contrast { readonly difference: readonly number[]; readonly ratio: readonly number[] }
interface Recorded {
  readonly name: string;
  readonly version: string;
  readonly question: object;
  readonly expected: {
    readonly unadjusted: readonly (Contrast & { readonly chisq: number; readonly p: number })[];
  };
}

const unadjusted = ({ unadjusted: { difference, ratio, test } }: ContrastAtTime) =>
  ({ difference: triple(difference), ratio: triple(ratio), chisq: ok(test).chisq, p: ok(test).p });
const atTimes = ({ contrasts }: Difference) => contrasts[0]!.atTimes;

describe('absolute differences on the sample registry', () => {
  let extract: LoadedExtract;
  beforeAll(async () => {
    extract = await loadSample();
  });
  afterAll(() => extract.database.close());

  // tests/reference/sampleDifference.R: R 4.2.2, survival 3.5-3, from the CSV files of the extract to the estimates.
  const { cases: [whole, small] } = fixture('sampleDifference') as { readonly cases: readonly [
    Recorded & { readonly expected: {
      readonly adjusted: readonly { readonly difference: number; readonly ratio: number }[];
      readonly means: { readonly mean: readonly number[]; readonly error: readonly number[]; readonly difference: readonly number[]; readonly p: number };
      readonly conditional: readonly object[];
      readonly hazards: readonly { readonly hazard: readonly number[]; readonly lower: readonly number[]; readonly upper: readonly number[] }[];
    } },
    Recorded & { readonly expected: { readonly procedures: number; readonly adjusted: readonly Contrast[] } },
  ] };

  it('has the numbers that R has from the same extract, to ten years', async () => {
    expect(extract.source.version).toBe(whole.version);
    const answer = await chapterOf(extract, 'difference', whole.question), { expected } = whole;
    const mean = ok(answer.restrictedMean);
    const found = {
      unadjusted: atTimes(answer).map(unadjusted),
      adjusted: atTimes(answer).map(({ adjusted }) => ({ difference: valueOf(adjusted.difference), ratio: valueOf(adjusted.ratio) })),
      means: {
        mean: mean.groups.map((g) => valueOf(g.days)),
        error: mean.groups.map((g) => (ok(g.days).upper - ok(g.days).value) / 1.959963984540054),
        difference: triple(mean.differences[0]!.days), p: mean.differences[0]!.p,
      },
      conditional: answer.conditional.map(({ group, fromYears, years, events, estimate }) => ({ group, fromYears, years, events, percent: triple(estimate) })),
      hazards: answer.hazards.map(({ curve }) => ({ hazard: [...ok(curve).per100], lower: [...ok(curve).lower], upper: [...ok(curve).upper] })),
    };
    expect(differences(expected, found, 1e-8)).toEqual([]);
    expect([mean.horizonDay, mean.stoppedBy]).toEqual([3653, null]);
  });

  it('has the adjusted limits that R has by moving the weight of every patient', async () => {
    const answer = await chapterOf(extract, 'difference', small.question), { expected } = small;
    expect(answer.procedures).toBe(expected.procedures);
    expect(differences(expected.unadjusted, atTimes(answer).map(unadjusted), 1e-8)).toEqual([]);
    const adjusted = atTimes(answer).map(({ adjusted: { difference, ratio } }) => ({ difference: triple(difference), ratio: triple(ratio) }));
    expect(differences(expected.adjusted, adjusted, 1e-6)).toEqual([]);
  });
});

// Freireich et al. 1963, Blood 21:699, weeks as days: the drug is the keeled group, placebo the pegged one.
const drug: readonly FollowupRow[] = [
  ...[6, 6, 6, 7, 10, 13, 16, 22, 23].map((day) => ({ ...keeled, ...revised(day) })),
  ...[6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35].map((day) => ({ ...keeled, ...followed(day) })),
];
const placebo: readonly FollowupRow[] = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23].map((day) => ({ ...pegged, ...revised(day) }));
const weeks = (n: number) => n / 365.25;
const unstopped = { largestStep: 0, cluster: 'none', reference: 'all_poly_pegged', horizonYears: 1 };

describe('differences by hand', () => {
  it('read two curves at one time', async () => {
    const { contrasts: [contrast] } = await chapterOfRows([...drug, ...placebo], 'difference', { ...unstopped, atYears: [weeks(10)] });
    const { unadjusted: { difference, test }, atRisk, events } = contrast!.atTimes[0]!;
    // By hand: S is 0.7529 and 0.3810 at 10, limits recovered by Zou & Donner's rule, test of Klein et al. 2007
    expect(triple(difference)).toEqual([expect.closeTo(-37.2, 1), expect.closeTo(-61.23, 1), expect.closeTo(-5.4, 1)]);
    expect(ok(test).chisq).toBeCloseTo(5.231, 3);
    expect([atRisk, events]).toEqual([{ group: 15, reference: 8 }, { group: 5, reference: 13 }]);
  });

  it('takes mean times to the earliest stop, and says whose it is', async () => {
    const { restrictedMean } = await chapterOfRows([...drug, ...placebo], 'difference', { ...unstopped, atYears: [weeks(10)] });
    const { horizonDay, stoppedBy, groups, differences: [difference] } = ok(restrictedMean);
    expect([horizonDay, stoppedBy]).toEqual([23, 'All-polyethylene pegged']);
    // Computed by hand from the two curves to 23 weeks: 17.909 and 8.667
    expect(groups.map((g) => [g.label, valueOf(g.days)])).toEqual([
      ['All-polyethylene keeled', expect.closeTo(17.909, 3)], ['All-polyethylene pegged', expect.closeTo(8.667, 3)],
    ]);
    expect(valueOf(difference!.days)).toBeCloseTo(17.909 - 8.667, 2);
  });

  it('has no limits, and says so, once all of a group are revised', async () => {
    const { contrasts: [contrast] } = await chapterOfRows([...drug, ...placebo], 'difference', { ...unstopped, atYears: [weeks(23)] });
    expect(contrast!.atTimes[0]!.unadjusted.difference).toEqual({ status: 'notEstimable', reason: 'all of one of the groups revised by then' });
  });

  it('has none either before anyone of a group comes under observation', async () => {
    const late = times(60, { ...keeled, entry_day: 100, ...followed(800) });
    const { contrasts: [contrast] } = await chapterOfRows([...late, ...times(60, { ...pegged, ...followed(800) })], 'difference', { atYears: [0.2], reference: 'all_poly_pegged' });
    expect(contrast!.atTimes[0]!.unadjusted.difference).toEqual({ status: 'notEstimable', reason: 'nobody of one of the groups at risk by then' });
  });

  const mixed = (group: FollowupRow, rows: readonly (readonly [number, 'female' | 'male', number])[]): readonly FollowupRow[] =>
    rows.flatMap(([n, sex, early]) => [
      ...Array.from({ length: early }, (_, i) => ({ ...group, sex, ...revised(100 + 7 * i) })), ...times(n - early, { ...group, sex, ...followed(800) }),
    ]);

  it('adjusts by giving both groups one case mix: the difference of sexes is not one of designs', async () => {
    // One man in five revised, one woman in twenty, whatever the design; keeled ones mostly in men
    const rows = [...mixed(pegged, [[400, 'female', 20], [100, 'male', 20]]), ...mixed(keeled, [[100, 'female', 5], [400, 'male', 80]])];
    const { contrasts: [contrast] } = await chapterOfRows(rows, 'difference', { adjust: ['sex'], atYears: [2], horizonYears: 2, reference: 'all_poly_pegged' });
    const { unadjusted: { difference }, adjusted, proceduresPerRevision } = contrast!.atTimes[0]!;
    expect(ok(difference).value).toBeCloseTo(17 - 8, 8);
    expect(Math.abs(ok(adjusted.difference).value)).toBeLessThan(0.2);
    expect(proceduresPerRevision).toMatchObject({ status: 'spansZero' });
  });

  it('counts procedures for one revision from the adjusted difference only', async () => {
    const rows = [...mixed(pegged, [[300, 'female', 15], [300, 'male', 15]]), ...mixed(keeled, [[300, 'female', 60], [300, 'male', 60]])];
    const { contrasts: [contrast] } = await chapterOfRows(rows, 'difference', { adjust: ['sex'], atYears: [2], horizonYears: 2, reference: 'all_poly_pegged' });
    const { adjusted: { difference }, proceduresPerRevision } = contrast!.atTimes[0]!;
    const { value, lower, upper } = ok(difference);
    expect(proceduresPerRevision).toEqual({ status: 'ok', effect: 'more', procedures: 100 / value, lower: 100 / upper, upper: 100 / lower });
    expect(value).toBeCloseTo(15, 0);
    const { contrasts: [plain] } = await chapterOfRows(rows, 'difference', { atYears: [2], horizonYears: 2 });
    const nothing = { status: 'notEstimable', reason: 'nothing is adjusted for' };
    expect([plain!.atTimes[0]!.adjusted.difference, plain!.atTimes[0]!.proceduresPerRevision]).toEqual([nothing, nothing]);
  });

  it('says of whom adjusted differences are where something is not recorded', async () => {
    const rows = mixed(pegged, [[100, 'female', 5], [100, 'male', 10]]).map((row, i) => ({ ...row, asa: i % 10 === 3 ? null : 1 + (i % 3) }));
    const { notes, procedures } = await chapterOfRows([...rows, ...rows.map((row) => ({ ...row, ...keeled }))], 'difference', { adjust: ['asa'], horizonYears: 2 });
    expect([procedures, notes]).toEqual([400, ['Adjusted differences are of the 360 procedures with every covariate recorded.']]);
  });

  it('follows the stop rule and the horizon', async () => {
    const rows = [...mixed(pegged, [[100, 'female', 5]]), ...mixed(keeled, [[100, 'female', 5]]).map((row, i) => (i > 30 ? { ...row, ...followed(400) } : row))];
    const { contrasts: [contrast], conditional, hazards, restrictedMean } = await chapterOfRows(rows, 'difference', { atYears: [1, 2, 3], horizonYears: 2, reference: 'all_poly_pegged' });
    const reasons = contrast!.atTimes.map(({ unadjusted: { difference } }) => ('reason' in difference ? difference.reason : ''));
    expect(reasons).toEqual(['', 'too few at risk (n = 26)', 'beyond the 2 years that are looked at']);
    expect(conditional.map((row) => [row.group, row.fromYears, row.years])).toEqual([['all_poly_keeled', 1, 2], ['all_poly_pegged', 1, 2]]);
    expect(conditional[0]!.estimate).toEqual({ status: 'notEstimable', reason: 'too few at risk (n = 26)' });
    expect(ok(restrictedMean)).toMatchObject({ horizonDay: 400, stoppedBy: 'All-polyethylene keeled' });
    expect(hazards.map(({ curve }) => [ok(curve).bandwidthDays, ok(curve).days.at(-1)])).toEqual([[100, 400], [182, 731]]);
  });

  it('of those unrevised at one year looks at the time after it alone', async () => {
    const rows = [...times(10, { ...pegged, ...revised(200) }), ...times(9, { ...pegged, ...revised(500) }), ...times(81, { ...pegged, ...followed(900) })];
    const { conditional: [row] } = await chapterOfRows(rows, 'difference', { atYears: [2, 1], horizonYears: 2 });
    expect(row).toMatchObject({ fromYears: 1, years: 2, atRiskFrom: 90, atRisk: 81, events: 9 });
    expect(valueOf(row!.estimate)).toBeCloseTo(10, 10);
  });

  it('of a group too small from the start has no mean time for any', async () => {
    const { restrictedMean, hazards } = await chapterOfRows(
      [...times(100, { ...pegged, ...followed(800) }), ...times(8, { ...keeled, ...followed(800) }), { ...keeled, ...revised(300) }], 'difference', {},
    );
    expect(restrictedMean).toEqual({ status: 'notEstimable', reason: 'too few at risk from the start: All-polyethylene keeled' });
    expect(hazards.map(({ curve }) => ('reason' in curve ? curve.reason : ''))).toEqual(['no revisions', 'too few at risk from the start']);
  });
});
