import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Estimate } from '@/lib/analysis/result';
import { VisitsQuestion } from '@/lib/contract/visitsQuestion';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { NotEstimable } from '@/lib/stats/cells';
import { analyseVisits } from '@/lib/visits/analyseVisits';
import type { VisitsAnalysis } from '@/lib/visits/visitsResult';
import { loadSample } from '../analysis/sampleExtract';
import { expectClose } from '../reference/closeTo';
import { casesOf } from '../reference/fixture';

type Row = readonly number[];
interface Counted { readonly window: string; readonly counts: readonly Row[]; readonly percent: readonly Row[]; readonly points: readonly Row[] }
interface Case {
  readonly name: string;
  readonly input: { readonly version: string; readonly question: object };
  readonly expected: {
    readonly groups: Row;
    readonly due: readonly { readonly window: string; readonly counts: readonly Row[] }[];
    readonly adaptation: readonly Counted[];
    readonly head: Counted;
    readonly zone: Counted;
    readonly ancova: { readonly estimate: readonly Row[]; readonly rows: number; readonly change: readonly Row[] };
    readonly tendon: { readonly counts: readonly Row[]; readonly odds: Row };
    readonly pain: { readonly rows: number; readonly estimate: readonly Row[]; readonly correlation: number; readonly order: readonly string[] };
    readonly turnbull: readonly { readonly n: number; readonly share: Row }[];
    readonly landmark: { readonly n: number; readonly events: number; readonly ratio: Row };
    readonly varying: { readonly events: number; readonly ratio: Row };
  };
}

const { input, expected } = (casesOf('sampleVisits') as readonly [Case])[0];
const limits = (e: Estimate | NotEstimable): Row => ('status' in e ? [NaN, NaN, NaN] : [e.value, e.lower, e.upper]);

describe('follow-up visits of the sample extract, short and stemless against standard stems, against R on the CSV files', () => {
  let found: VisitsAnalysis, extract: LoadedExtract;
  beforeAll(async () => {
    extract = await loadSample();
    expect(extract.source.version).toBe(input.version);
    const answer = await analyseVisits(extract, VisitsQuestion.parse(input.question));
    if (answer.status !== 'ok') throw new Error(answer.reason);
    found = answer;
  }, 120_000);
  afterAll(() => extract.database.close());
  const signAt = (measure: string, window: string) => found.signs.find((s) => s.measure === measure && s.window === window)!;
  const amountAt = (measure: string, window: string) => found.amounts.find((a) => a.measure === measure && a.window === window)!;

  it('who came to which visit', () => {
    expect(found.groups.map(({ procedures }) => procedures)).toEqual(expected.groups);
    for (const { window, counts } of expected.due) {
      expect(found.visits.filter((v) => v.window === window).map(({ due, seen, missed }) => [due, seen, missed])).toEqual(counts);
    }
    for (const v of found.visits) expect(v.due + v.notDue).toBe(found.groups.find(({ key }) => key === v.group)!.procedures);
  });

  it.each([...expected.adaptation.map((of) => ['stem_adaptation', of] as const), ['head_offset_mm', expected.head] as const])('prevalence of %s with limits and differences, %#', (measure, of) => {
    const sign = signAt(measure, of.window);
    expect(sign.groups.map(({ present, assessed }) => [present, assessed])).toEqual(of.counts);
    expectClose(sign.groups.flatMap(({ percent }) => limits(percent)), of.percent.flat());
    expectClose(sign.differences.flatMap(({ points }) => limits(points)), of.points.flat());
  });

  it('a zone', () => {
    const { groups } = found.zones.find((z) => z.sign === 'thinning' && z.window === '5y')!.zones.find(({ zone }) => zone === 'medial_upper')!;
    expect(groups.map(({ present, assessed }) => [present, assessed])).toEqual(expected.zone.counts);
    expectClose(groups.flatMap(({ percent }) => limits(percent)), expected.zone.percent.flat());
  });

  it('the score, adjusted for the score before, and its change', () => {
    const { differences, groups } = amountAt('score_total', '2y');
    expect(differences[0]!.procedures).toBe(expected.ancova.rows);
    expectClose(differences.flatMap(({ estimate }) => limits(estimate)), expected.ancova.estimate.flat());
    expectClose(groups.flatMap(({ change }) => [change!.both, ...limits(change!.mean)]), expected.ancova.change.flat());
  });

  it('grades of the tendon', () => {
    expect(found.grades.find(({ measure, window }) => measure === 'tendon' && window === '1y')!.counts).toEqual(expected.tendon.counts);
  });

  it('pain at all visits together', () => {
    const pain = found.repeated.find(({ measure }) => measure === 'pain')!;
    expect(pain.visits).toBe(expected.pain.rows);
    expectClose(pain.correlation, expected.pain.correlation, 1e-6);
    expected.pain.order.forEach((name, k) => {
      const at = pain.differences.find(({ group, window }) => `${group}_${window}` === name)!;
      limits(at.estimate).forEach((v, i) => { expect(v, name).toBeCloseTo(expected.pain.estimate[k]![i]!, 7); });
    });
  });

  it('time to the first sign of bone adaptation', () => {
    const { groups } = found.firstSigns.find(({ measure }) => measure === 'stem_adaptation')!;
    groups.forEach(({ procedures, atYears }, g) => {
      expect(procedures).toBe(expected.turnbull[g]!.n);
      atYears.forEach(({ estimate }, y) => { expect(limits(estimate)[0]).toBeCloseTo(expected.turnbull[g]!.share[y]!, 2); }); // survfit ends its search early
    });
  });

  it('radiolucency and later revision: landmark at two years, and the sign as it changes', () => {
    const { landmarks, changing } = found.earlyWarnings.find(({ measure }) => measure === 'glenoid_radiolucency')!;
    const two = landmarks.find(({ years }) => years === 2)!, sum = (of: readonly [number, number]) => of[0] + of[1];
    expect([sum(two.procedures), sum(two.events)]).toEqual([expected.landmark.n, expected.landmark.events]);
    expectClose(limits(two.estimate), expected.landmark.ratio, 1e-6);
    expect(sum(changing.events)).toBe(expected.varying.events);
    expectClose(limits(changing.estimate), expected.varying.ratio, 1e-6);
  });

  it('grades without adjustment, to the digits of polr', async () => {
    const answer = await analyseVisits(extract, VisitsQuestion.parse({ ...input.question, adjust: [], measures: ['tendon'], windows: ['1y'] }));
    if (answer.status !== 'ok') throw new Error(answer.reason);
    const ratios = answer.grades[0]!.comparisons.map(({ oddsRatio }) => limits(oddsRatio)[0]!);
    ratios.forEach((ratio, k) => { expect(ratio).toBeCloseTo(expected.tendon.odds[k]!, 2); });
    expect(answer.signs.map(({ measure }) => measure)).toEqual(['tendon']);
  }, 60_000);
});
