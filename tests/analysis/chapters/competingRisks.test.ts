import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CompetingRisks } from '@/lib/analysis/chapters/competingRisksResult';
import type { Curve, Estimate, HazardRatio } from '@/lib/analysis/result';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { NotEstimable } from '@/lib/stats/cells';
import type { FollowupRow } from '../../cohort/followup';
import { differences } from '../../cli/differences';
import { fixture } from '../../stats/rows';
import { loadSample } from '../sampleExtract';
import { chapterOf, chapterOfRows, died, followed, keeled, pegged, revised, times, triple } from './ask';

interface Incidence { readonly events: readonly number[]; readonly percent: Rows | null }
type Rows = readonly (readonly (number | null)[])[];
interface Recorded {
  readonly name: string;
  readonly question: { readonly atYears: readonly number[] };
  readonly version: string;
  readonly expected: { readonly groups: readonly { readonly ifNoneDied: Rows; readonly incidence: readonly Incidence[]; readonly reasons: readonly Incidence[] }[] };
}

const ofRatios = (ratios: readonly HazardRatio[]) => ({ ratio: ratios.map((r) => triple(r.estimate)), p: ratios.map((r) => r.p) });

/** The answer in the shape of the fixture; before the first event of a cause there R has no limits, and nothing is compared. */
function asRecorded({ groups, gray, ratios, reasons }: CompetingRisks, recorded: Recorded['expected']) {
  const begun = (events: readonly number[], estimates: readonly (Estimate | NotEstimable | null)[], wanted: Rows) =>
    estimates.map((estimate, k) => (estimate === null || events[k] === 0 ? wanted[k] : triple(estimate)));
  const incidence = (events: readonly number[], estimates: readonly (Estimate | NotEstimable | null)[], { percent }: Incidence) =>
    ({ events, percent: percent && begun(events, estimates, percent) });
  if (ratios.status !== 'ok') throw new Error(ratios.reason);
  const test = (of: typeof gray.revision) => (of.status === 'ok' ? { chisq: of.chisq, p: of.p, df: of.df } : of);
  const order = ['loosening', 'instability', 'infection', 'fracture', 'cuff_failure', 'other', 'not_recorded'];
  expect(reasons.map((r) => r.key)).toEqual(order.filter((key) => reasons.some((r) => r.key === key)));
  return {
    groups: groups.map(({ group, events, atTimes, reasons: byReason }, g) => {
      const { ifNoneDied, incidence: ofCauses, reasons: ofReasons } = recorded.groups[g]!;
      return {
        group, events: Object.values(events), atRisk: atTimes.map((at) => at.atRisk),
        ifNoneDied: begun(atTimes.map((at) => at.events.revision), atTimes.map((at) => at.ifNoneDied), ifNoneDied),
        incidence: (['revision', 'otherRevision', 'death'] as const)
          .map((cause, k) => incidence(atTimes.map((at) => at.events[cause]), atTimes.map((at) => at[cause]), ofCauses[k]!)),
        reasons: order.map((key, k) => {
          const own = byReason.find((r) => r.reason === key), wanted = ofReasons[k]!;
          return own === undefined ? wanted : incidence(own.atTimes.map((at) => at.events), own.atTimes.map((at) => at.estimate), wanted);
        }),
      };
    }),
    gray: { procedures: gray.revision.status === 'ok' ? gray.revision.procedures : NaN, revision: test(gray.revision), death: test(gray.death) },
    revision: ofRatios(ratios.groups.map((g) => g.revision)),
    death: ofRatios(ratios.groups.map((g) => g.death)),
    subdistribution: ofRatios(ratios.groups.map((g) => g.subdistribution)),
  };
}

describe('revision beside death on the sample registry', () => {
  let extract: LoadedExtract;
  beforeAll(async () => {
    extract = await loadSample();
  });
  afterAll(() => extract.database.close());

  // tests/reference/sampleCompetingRisks.R: R 4.2.2, survival 3.5-3, cmprsk, etm, from the CSV files of the extract to the estimates.
  const { cases } = fixture('sampleCompetingRisks') as { readonly cases: readonly Recorded[] };
  it.each(cases)('has the numbers that R has from the same extract: $name', async ({ question, version, expected }) => {
    expect(extract.source.version).toBe(version);
    const answer = await chapterOf(extract, 'competingRisks', question);
    expect(differences(expected, asRecorded(answer, expected), 1e-8)).toEqual([]);
    for (const { atTimes } of answer.groups) for (const at of atTimes) {
      if ('value' in at.ifNoneDied && 'value' in at.revision) expect(at.gap).toBe(at.ifNoneDied.value - at.revision.value);
    }
    expect(answer.gapPrompt).toBe(answer.groups.some((group) => group.atTimes.some((at) => at.gap > 1)));
  });

  it('stacks reasons to the incidence of revision at every step', async () => {
    const { groups } = await chapterOf(extract, 'competingRisks', { cohort: { classes: ['anatomic_total'] } });
    for (const { curves: { revision }, reasons } of groups) expectStack(revision, reasons.map((r) => r.curve));
  });
});

function expectStack(total: Curve, parts: readonly Curve[]): void {
  for (const part of parts) expect(part.days).toEqual(total.days);
  const furthest = total.percent.reduce((most, percent, j) => Math.max(most, Math.abs(percent - parts.reduce((sum, part) => sum + part.percent[j]!, 0))), 0);
  expect(furthest).toBeLessThan(1e-10);
}

// Scrucca, Santucci & Aversa 2007, Bone Marrow Transplant 40:381: 35 patients in print, time/cause; here months are days.
const inPrint = [
  '13/2 1/1 72/0 7/2 8/2 9/2 5/2 1/2 22/2 0/2 0/1 35/0 4/2 14/2 26/2 3/2 12/1',
  '67/0 70/0 4/0 7/0 68/0 10/2 7/2 3/1 4/1 4/1 3/1 3/1 8/1 2/2 35/0 2/0 8/0 32/0',
].flatMap((list, g) => list.split(' ').map((pair): FollowupRow => {
  const [day, cause] = pair.split('/').map(Number) as [number, number];
  return { ...(g === 0 ? pegged : keeled), ...(cause === 1 ? revised(day) : cause === 2 ? died(day) : followed(day)) };
}));
const unstopped = { reference: 'all_poly_pegged', largestStep: 0, cluster: 'none' };

describe('competing risks by hand', () => {
  it('has the tests and incidences in print', async () => {
    const { gray, groups } = await chapterOfRows(inPrint, 'competingRisks', { ...unstopped, atYears: [12 / 365.25] });
    // Gray's statistics as the tutorial prints them for its two causes; incidences of the second cause at 12 computed by hand, 8/17 and 0.2057
    if (gray.revision.status !== 'ok' || gray.death.status !== 'ok') throw new Error('no test');
    expect(gray.revision.chisq).toBeCloseTo(1.3016, 3);
    expect(gray.death.chisq).toBeCloseTo(7.0823, 3);
    expect(groups.map(({ group, atTimes: [at] }) => [group, 'value' in at!.death ? at!.death.value : NaN])).toEqual([
      ['all_poly_keeled', expect.closeTo(20.57, 2)], ['all_poly_pegged', expect.closeTo(100 * (8 / 17), 8)],
    ]);
  });

  it('prompts where many died: one minus Kaplan–Meier is more than a point above what patients saw', async () => {
    const rows = [...times(60, { ...pegged, ...died(200) }), ...times(20, { ...pegged, ...revised(300) }), ...times(60, { ...pegged, ...followed(800) })];
    const { groups: [group], gapPrompt } = await chapterOfRows(rows, 'competingRisks', { atYears: [2], largestStep: 0 });
    const [at] = group!.atTimes;
    // 20 of the 80 who lived beyond day 200 were revised, 20 of all 140
    expect([at!.ifNoneDied, at!.revision, at!.death].map((e) => ('value' in e ? e.value : NaN))).toEqual([
      expect.closeTo(100 * (20 / 80), 10), expect.closeTo(100 * (20 / 140), 10), expect.closeTo(100 * (60 / 140), 10),
    ]);
    expect(gapPrompt).toBe(true);
  });

  it('has one curve instead of two, and no prompt, where nobody died', async () => {
    const rows = [...times(10, { ...pegged, ...revised(300) }), ...times(60, { ...pegged, ...followed(800) })];
    const { groups: [group], gapPrompt } = await chapterOfRows(rows, 'competingRisks', { atYears: [1], largestStep: 0 });
    const { ifNoneDied, revision, otherRevision, death } = group!.curves;
    expect(revision).toEqual(ifNoneDied);
    expect(otherRevision).toBeNull();
    expect(Math.max(...death.percent)).toBe(0);
    expect(gapPrompt).toBe(false);
  });

  it('lets other revisions compete where the outcome is one reason', async () => {
    const rows = [...times(5, { ...pegged, ...revised(300, 'infection') }), ...times(3, { ...pegged, ...revised(200) }), ...times(92, { ...pegged, ...followed(800) })];
    const { groups: [group], reasons } = await chapterOfRows(rows, 'competingRisks', { atYears: [1], outcome: { reasons: ['infection'] } });
    expect(group!.events).toEqual({ revision: 5, otherRevision: 3, death: 0 });
    expect(group!.curves.otherRevision!.percent.at(-1)).toBeCloseTo(3, 10);
    expect(group!.curves.revision.percent.at(-1)).toBeCloseTo(5, 10);
    expect(reasons).toEqual([{ key: 'infection', label: 'Infection' }]);
  });

  it('keeps revisions for which no reason is recorded as a band of their own', async () => {
    const rows = [
      ...times(4, { ...pegged, ...revised(300, 'lysis') }), ...times(3, { ...pegged, ...revised(200, 'dissociation') }),
      ...times(2, { ...pegged, ...revised(100), reason: null }), ...times(1, { ...pegged, ...revised(150, 'wear') }), ...times(90, { ...pegged, ...followed(800) }),
    ];
    const { groups: [group], reasons } = await chapterOfRows(rows, 'competingRisks', { atYears: [1] });
    expect(reasons.map((r) => r.label)).toEqual(['Loosening', 'Instability', 'Other', 'Reason not recorded']);
    expect(group!.reasons.map((r) => r.events)).toEqual([4, 3, 1, 2]);
    // Nobody left or died before the last revision, so that percents are those of the hundred
    for (const { events, atTimes: [at] } of group!.reasons) expect(triple(at!.estimate)[0]).toBeCloseTo(events, 10);
    expectStack(group!.curves.revision, group!.reasons.map((r) => r.curve));
  });

  it('stops every curve of a group where its Kaplan–Meier curve stops', async () => {
    const rows = [...times(2, { ...pegged, ...revised(100) }), ...times(60, { ...pegged, ...died(300) }), ...times(20, { ...pegged, ...followed(800) })];
    const { groups: [group] } = await chapterOfRows(rows, 'competingRisks', { atYears: [0.5, 2] });
    const { curves, reasons, atTimes } = group!;
    for (const curve of [curves.ifNoneDied, curves.revision, curves.death, ...reasons.map((r) => r.curve)]) {
      expect([curve.stop, curve.days.at(-1)]).toEqual([curves.ifNoneDied.stop, 300]);
    }
    const reason = { status: 'notEstimable', reason: 'too few at risk (n = 20)' };
    expect([atTimes[1]!.ifNoneDied, atTimes[1]!.revision, atTimes[1]!.death, atTimes[1]!.gap]).toEqual([reason, reason, reason, NaN]);
  });

  it('says in words of death why there is no ratio for death', async () => {
    const rows = [
      ...times(4, { ...pegged, ...revised(100) }), ...times(60, { ...pegged, ...followed(800) }),
      ...times(4, { ...keeled, ...revised(90) }), ...times(4, { ...keeled, ...died(90) }), ...times(9, { ...keeled, ...followed(700) }),
    ];
    const { ratios } = await chapterOfRows(rows, 'competingRisks', { reference: 'all_poly_pegged' });
    if (ratios.status !== 'ok') throw new Error(ratios.reason);
    const { revision, death, subdistribution } = ratios.groups[0]!;
    expect('value' in revision.estimate && 'value' in subdistribution.estimate).toBe(true);
    expect([death.procedures, death.events, death.estimate]).toEqual([
      17, 4, { status: 'notEstimable', reason: 'no deaths among the 64 procedures without All-polyethylene keeled to compare with' },
    ]);
  });

  it('tests those followed from the day of surgery, and counts the others', async () => {
    const late = times(5, { ...keeled, entry_day: 30, ...followed(700) });
    const { gray } = await chapterOfRows([...inPrint, ...late], 'competingRisks', unstopped);
    const { gray: without } = await chapterOfRows(inPrint, 'competingRisks', unstopped);
    if (gray.revision.status !== 'ok' || without.revision.status !== 'ok') throw new Error('no test');
    expect(gray.revision).toEqual({ ...without.revision, leftOut: 5 });
  });

  it('of one group has its curves and nothing to compare', async () => {
    const { groups, gray, ratios } = await chapterOfRows(inPrint, 'competingRisks', { ...unstopped, groups: ['all_poly_keeled'] });
    expect(groups).toHaveLength(1);
    const nothing = { status: 'notEstimable', reason: 'there is only one group' };
    expect([gray.revision, gray.death, ratios]).toEqual([nothing, nothing, nothing]);
  });
});
