import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Estimate } from '@/lib/analysis/result';
import { VisitsQuestion } from '@/lib/contract/visitsQuestion';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { NotEstimable } from '@/lib/stats/cells';
import { analyseVisits } from '@/lib/visits/analyseVisits';
import type { VisitsAnalysis } from '@/lib/visits/visitsResult';
import { loadSample } from '../analysis/sampleExtract';
import { expectClose } from '../reference/closeTo';
import { visitsCases } from '../reference/visitsCase';

const limits = (e: Estimate | NotEstimable | null): readonly number[] => (e === null || 'status' in e ? [NaN, NaN, NaN] : [e.value, e.lower, e.upper]);

let extract: LoadedExtract;
beforeAll(async () => { extract = await loadSample(); }, 120_000);
afterAll(() => extract.database.close());
async function answered(question: object): Promise<VisitsAnalysis> {
  const answer = await analyseVisits(extract, VisitsQuestion.parse(question));
  if (answer.status !== 'ok') throw new Error(answer.reason);
  return answer;
}

describe.each(visitsCases)('follow-up visits of the sample extract, $name, against R on the CSV files', ({ input, expected }) => {
  let found: VisitsAnalysis;
  beforeAll(async () => {
    expect(extract.source.version).toBe(input.version);
    found = await answered({ ...input.question, instrument: 'TS-100', importantDifference: { value: input.important, instrument: 'TS-100', anchor: 'invented', population: 'invented', source: 'invented' } });
  }, 120_000);
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
    expectClose(sign.groups.flatMap(({ allowingForBothSides }) => limits(allowingForBothSides)), of.bothSides.percent.flat());
    expectClose(sign.differences.flatMap(({ allowingForBothSides }) => limits(allowingForBothSides)), of.bothSides.points.flat());
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

  it('who gained the important difference, and what those without both scores could change', () => {
    const { differences, groups } = amountAt('score_total', '2y'), { counts, percent, points, lost } = expected.important;
    expect(groups.map(({ change, important }) => [important!.count, change!.both])).toEqual(counts);
    expectClose(groups.flatMap(({ important }) => [...limits(important!.percent), important!.ifLost!.none, important!.ifLost!.all]), percent.flatMap((row, g) => [...row, ...lost[g]!]));
    expectClose(differences.flatMap(({ importantPoints }) => limits(importantPoints)), points.flat());
  });

  it('grades of the tendon by proportional odds, to the digits of polr', () => {
    const { counts, comparisons } = found.grades.find(({ measure, window }) => measure === 'tendon' && window === '1y')!;
    expect(counts).toEqual(expected.tendon.counts);
    expectClose(comparisons.flatMap(({ oddsRatio }) => limits(oddsRatio)), expected.tendon.odds.flat(), 2e-3);
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

  it('and its limits, by an independent slow program', () => {
    const { groups } = found.firstSigns.find(({ measure }) => measure === 'stem_adaptation')!;
    groups.forEach(({ steps }, g) => {
      const { day, share, lower, upper } = expected.turnbull[g]!.slow, told = steps.filter((step) => !Number.isNaN(step.lower));
      expect(told.map(({ toDay }) => toDay)).toEqual(day);
      told.forEach((step, k) => { [step.percent, step.lower, step.upper].forEach((value, i) => { expect(value).toBeCloseTo([share, lower, upper][i]![k]!, 2); }); });
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
});

it('only the measures and visits that were asked for', async () => {
  const { signs, grades } = await answered({ ...visitsCases[0]!.input.question, measures: ['tendon'], windows: ['1y'] });
  expect([signs, grades].map((of) => of.map(({ measure, window }) => [measure, window]))).toEqual([[['tendon', '1y']], [['tendon', '1y']]]);
}, 60_000);
