import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Precision } from '@/lib/analysis/chapters/precisionResult';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { FollowupRow } from '../../cohort/followup';
import { differences } from '../../cli/differences';
import { fixture } from '../../stats/rows';
import { loadSample } from '../sampleExtract';
import { chapterOf, chapterOfRows, followed, keeled, pegged, revised, times } from './ask';

/** The answer in the shape of the fixture. */
const asRecorded = ({ referencePerYear, groups }: Precision) => ({
  referencePerYear,
  groups: groups.map(({ group, procedures, perYear, atTimes, doublingSeenFrom, doublingSeenAfter }) => ({
    group, procedures, perYear, atRisk: atTimes.map((at) => at.atRisk), expected: atTimes.map((at) => at.expected),
    referenceEvents: atTimes.map((at) => at.referenceEvents), detectable: atTimes.map((at) => at.detectable),
    from: doublingSeenFrom.status === 'ok' ? doublingSeenFrom.day : null,
    after: doublingSeenAfter.status === 'ok' ? doublingSeenAfter.days : null,
  })),
});

describe('what could be seen on the sample registry', () => {
  let extract: LoadedExtract;
  beforeAll(async () => {
    extract = await loadSample();
  });
  afterAll(() => extract.database.close());

  // tests/reference/samplePrecision.R: R 4.2.2, survival 3.5-3, etm, from the CSV files of the extract to the estimates.
  const { cases } = fixture('samplePrecision') as { readonly cases: readonly { readonly name: string; readonly version: string; readonly question: object; readonly expected: object }[] };
  it.each(cases)('is what R has from the same extract: $name', async ({ version, question, expected }) => {
    expect(extract.source.version).toBe(version);
    expect(differences(expected, asRecorded(await chapterOf(extract, 'precision', question)), 1e-8)).toEqual([]);
  });
});

const closing = Date.parse('2020-12-31') / 86_400_000;
/** Of 300 pegged components some are revised on day 100; 300 keeled ones are followed as long, and none is revised. */
const alike = (revisions: number, row: FollowupRow = {}): readonly FollowupRow[] => [
  ...times(revisions, { ...pegged, ...revised(100) }), ...times(300 - revisions, { ...pegged, ...followed(800) }), ...times(300, { ...keeled, ...followed(800) }),
].map((r) => ({ ...r, ...row }));
const asked = { reference: 'all_poly_pegged', horizonYears: 2, atYears: [0.1, 1] };

describe('what could be seen, by hand', () => {
  it('is a doubling from the sixty-sixth revision on, in groups of one size', async () => {
    // Schoenfeld 1983, Biometrics 39:499: (1.960 + 0.842)²/(¼ ln² 2) = 65.4 events
    const { groups: [keeledGroup] } = await chapterOfRows(alike(33), 'precision', asked);
    expect(keeledGroup!.atTimes.map(({ expected, referenceEvents }) => [expected, referenceEvents])).toEqual([[0, 0], [33, 33]]);
    expect(keeledGroup!.atTimes[0]!.detectable).toEqual({ status: 'notEstimable', reason: 'no revisions to expect by then' });
    expect(keeledGroup!.atTimes[1]!.detectable).toBeCloseTo(Math.exp(2.801585 / Math.sqrt(66 / 4)), 5);
    expect(keeledGroup!.doublingSeenFrom).toEqual({ status: 'ok', day: 100 });
    const { groups: [fewer] } = await chapterOfRows(alike(32), 'precision', asked);
    expect(fewer!.doublingSeenFrom).toEqual({
      status: 'notEstimable', reason: 'not with the follow-up so far: 66 revisions in both groups together would be needed, 64.0 are to be expected',
    });
  });

  it('asks for patience by the pace of use', async () => {
    // Both 300 in 731 days; a tenth revised on day 100: 600/731 · 0.1 (T − 100) = 65.4 at T = 897 days, beyond the two years that are looked at
    const rows = alike(30, { procedure_day: closing - 730 });
    const { groups: [two], referencePerYear } = await chapterOfRows(rows, 'precision', { ...asked, horizonYears: 2 });
    expect([two!.perYear, referencePerYear]).toEqual([expect.closeTo((300 * 365.25) / 731, 8), expect.closeTo((300 * 365.25) / 731, 8)]);
    expect(two!.doublingSeenAfter).toEqual({ status: 'notEstimable', reason: 'not within the 2.0 years for which the reference can be read' });
    const longer = rows.map((row) => (row['exit_day'] === 800 ? { ...row, exit_day: 1000 } : row));
    const { groups: [three] } = await chapterOfRows(longer, 'precision', { ...asked, horizonYears: 3 });
    expect(three!.doublingSeenAfter).toEqual({ status: 'ok', days: expect.closeTo(100 + (65.35 * 731) / 60, 0) as number });
  });

  it('counts the pace to the end of the last year of the cohort', async () => {
    const { groups: [group] } = await chapterOfRows(alike(33, { year: 2019, procedure_day: Date.parse('2019-01-01') / 86_400_000 }), 'precision', { ...asked, cohort: { lastYear: 2019 } });
    expect(group!.perYear).toBeCloseTo((300 * 365.25) / 365, 8);
  });

  it('expects nothing beyond where the reference may be read', async () => {
    const rows = [...times(5, { ...pegged, ...revised(100) }), ...times(60, { ...pegged, ...followed(300) }), ...times(200, { ...keeled, ...followed(800) })];
    const { groups: [group] } = await chapterOfRows(rows, 'precision', { ...asked, atYears: [0.5, 1, 3] });
    expect(group!.atTimes.map(({ expected }) => (typeof expected === 'number' ? expected : expected.reason))).toEqual([
      expect.closeTo((200 * 5) / 65, 10), 'too few of the reference at risk', 'beyond the 2 years that are looked at',
    ]);
  });

  it('has no group to speak of where there is only the reference', async () => {
    expect((await chapterOfRows(alike(33), 'precision', { ...asked, groups: ['all_poly_pegged'] })).groups).toEqual([]);
  });
});
