import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { conditionalPercent } from '@/lib/stats/conditionalPercent';
import { percentAt, type PercentEstimate } from '@/lib/stats/cumulativePercentRevision';
import { eventTable } from '@/lib/stats/eventTable';
import { kaplanMeier } from '@/lib/stats/kaplanMeier';
import { percentRatio } from '@/lib/stats/percentRatio';
import { percentTest } from '@/lib/stats/percentTest';
import { proceduresPerRevision } from '@/lib/stats/proceduresPerRevision';
import { riskDifference } from '@/lib/stats/riskDifference';
import { stopOf } from '@/lib/stats/stopRule';
import { cellsOf, cellsOfProcedures, fixture, procedures, type Rows } from './rows';

const curveOf = (rows: Rows, rule = { largestStep: 0, minAtRisk: 0 }) => {
  const km = kaplanMeier(eventTable(cellsOf(rows)));
  return { km, stop: stopOf(km, rule) };
};
const percentOf = (rows: Rows, time: number): PercentEstimate => {
  const { km, stop } = curveOf(rows), { estimate } = percentAt(km, stop, time);
  if (estimate.status !== 'ok') throw new Error(estimate.reason);
  return estimate;
};
const limited = ({ percent, lower, upper }: PercentEstimate) => ({ value: percent, lower, upper });

interface Contrasts {
  contrasts: { name: string; one: Rows; other: Rows; time: number; expected: Record<'difference' | 'lower' | 'upper' | 'chisq' | 'p' | 'ratio' | 'ratioLower' | 'ratioUpper', number> }[];
  conditionals: { name: string; input: Rows; from: number; time: number; expected: Record<'percent' | 'standardError' | 'lower' | 'upper' | 'events', number> }[];
  threeArms: { arms: Rows[]; time: number; expected: { chisq: number; p: number } };
}
const { contrasts, conditionals, threeArms } = (fixture('contrasts') as { cases: Contrasts }).cases;

describe('two curves at one time, against the formulas on survfit', () => {
  it.each(contrasts)('$name', ({ one, other, time, expected }) => {
    const [a, b] = [percentOf(one, time), percentOf(other, time)];
    const difference = riskDifference(limited(a), limited(b));
    expect(difference.value).toBeCloseTo(expected.difference, 9);
    expect(difference.lower).toBeCloseTo(expected.lower, 9);
    expect(difference.upper).toBeCloseTo(expected.upper, 9);
    expect(percentTest([a, b])).toEqual({ status: 'ok', chisq: expect.closeTo(expected.chisq, 9) as number, df: 1, p: expect.closeTo(expected.p, 9) as number });
    const ratio = percentRatio(a, b);
    if (ratio.status !== 'ok') throw new Error(ratio.reason);
    expect(ratio.ratio).toBeCloseTo(expected.ratio, 9);
    expect(ratio.lower).toBeCloseTo(expected.ratioLower, 9);
    expect(ratio.upper).toBeCloseTo(expected.ratioUpper, 9);
  });
});

describe('the percent of those unrevised at a time, against survfit begun there', () => {
  it.each(conditionals)('$name', ({ input, from, time, expected }) => {
    const { km, stop } = curveOf(input), { estimate, events } = conditionalPercent(km, stop, from, time);
    if (estimate.status !== 'ok') throw new Error(estimate.reason);
    expect(estimate.percent).toBeCloseTo(expected.percent, 9);
    expect(estimate.standardError).toBeCloseTo(expected.standardError, 11);
    expect(estimate.lower).toBeCloseTo(expected.lower, 9);
    expect(estimate.upper).toBeCloseTo(expected.upper, 9);
    expect(events).toBe(expected.events);
  });

  it('multiplies to the whole', () => {
    fc.assert(fc.property(procedures(), fc.integer({ min: 0, max: 10 }), (list, from) => {
      const km = kaplanMeier(eventTable(cellsOfProcedures(list))), stop = stopOf(km, { largestStep: 0, minAtRisk: 0 });
      const parts = [percentAt(km, stop, from).estimate, conditionalPercent(km, stop, from, 11).estimate], whole = percentAt(km, stop, 11).estimate;
      const free = parts.map((e) => (e.status === 'ok' ? 1 - e.percent / 100 : NaN));
      if (whole.status === 'ok' && parts.every((e) => e.status === 'ok')) expect(100 * (1 - free[0]! * free[1]!)).toBeCloseTo(whole.percent, 10);
    }));
  });

  it.each([
    { of: 'nobody', rows: { exit: [], event: [] }, time: 5, reason: 'no procedures' },
    { of: 'all revised by then', rows: { exit: [1, 2, 2], event: [1, 1, 1] }, time: 2, from: 1.5, estimate: { percent: 100, lower: NaN, upper: NaN } },
    { of: 'all revised before', rows: { exit: [0, 0, 2], event: [1, 1, 1], entry: [-Infinity, -Infinity, 1] }, time: 2, from: 1, reason: 'all revised by the time of the condition' },
    { of: 'too few at the end', rows: { exit: [1, 5], event: [0, 0], count: [90, 10] }, time: 5, reason: 'too few at risk (n = 10)' },
    { of: 'no revision since', rows: { exit: [0, 5], event: [1, 0], count: [10, 100] }, time: 5, estimate: { percent: 0, lower: 0, upper: 100 * (1 - 0.025 ** 0.01), noEvents: true } },
  ])('$of', ({ rows, time, from = 0, reason, estimate }) => {
    const { km, stop } = curveOf(rows, rows.exit.length === 2 ? { largestStep: 0.02, minAtRisk: 0 } : { largestStep: 0, minAtRisk: 0 });
    expect(conditionalPercent(km, stop, from, time).estimate).toMatchObject(reason ? { status: 'notEstimable', reason } : estimate!);
  });

  it('a time before the condition is refused', () => {
    const { km, stop } = curveOf({ exit: [5], event: [0] });
    expect(() => conditionalPercent(km, stop, 3, 3)).toThrow('time must be after the time of the condition (3): 3');
  });
});

describe('groups without a revision, or all revised', () => {
  const none = percentOf({ exit: [5], event: [0], count: [100] }, 5), all = percentOf({ exit: [1, 2], event: [1, 1] }, 2);
  const some = percentOf({ exit: [1, 5], event: [1, 0], count: [5, 95] }, 5);
  it('have no ratio and no test, and say why', () => {
    const reasonNone = { status: 'notEstimable', reason: 'no revisions in one of the groups by then' };
    const reasonAll = { status: 'notEstimable', reason: 'all of one of the groups revised by then' };
    expect([percentRatio(none, some), percentRatio(some, none), percentTest([some, none])]).toEqual([reasonNone, reasonNone, reasonNone]);
    expect([percentRatio(all, some), percentRatio(some, all), percentTest([all, some])]).toEqual([reasonAll, reasonAll, reasonAll]);
    expect(percentTest([some])).toEqual({ status: 'notEstimable', reason: 'fewer than two groups' });
  });
  it('still have a difference if none were revised', () => {
    const difference = riskDifference(limited(some), limited(none));
    expect(difference.value).toBeCloseTo(5, 10);
    expect(difference.lower).toBeLessThan(difference.value);
    expect(riskDifference(limited(all), limited(some)).lower).toBeNaN();
  });
});

describe('a test of three groups', () => {
  it('colon cancer, three arms at five years, against the quadratic form of two differences', () => {
    const groups = threeArms.arms.map((rows) => percentOf(rows, threeArms.time));
    for (const order of [groups, groups.toReversed()]) {
      const test = percentTest(order);
      if (test.status !== 'ok') throw new Error(test.reason);
      expect(test.chisq).toBeCloseTo(threeArms.expected.chisq, 9);
      expect(test.df).toBe(2);
      expect(test.p).toBeCloseTo(threeArms.expected.p, 9);
    }
  });
});

// Altman 1998, BMJ 317:1309: a difference that spans zero is a number from harm through infinity to benefit, not an interval around its estimate.
describe('procedures for one revision fewer or more', () => {
  it.each([
    { of: 'fewer', difference: { value: -2, lower: -4, upper: -1 }, expected: { status: 'ok', effect: 'fewer', procedures: 50, lower: 25, upper: 100 } },
    { of: 'more', difference: { value: 2, lower: 1, upper: 4 }, expected: { status: 'ok', effect: 'more', procedures: 50, lower: 25, upper: 100 } },
    { of: 'either', difference: { value: -2, lower: -5, upper: 1 }, expected: { status: 'spansZero', moreFrom: 100, fewerFrom: 20 } },
    { of: 'at best none more', difference: { value: -2, lower: -4, upper: 0 }, expected: { status: 'spansZero', moreFrom: Infinity, fewerFrom: 25 } },
    { of: 'no difference', difference: { value: 0, lower: -4, upper: 4 }, expected: { status: 'spansZero', moreFrom: 25, fewerFrom: 25 } },
    { of: 'no limits', difference: { value: 60, lower: NaN, upper: NaN }, expected: { status: 'notEstimable', reason: 'the difference has no limits' } },
  ])('$of', ({ difference, expected }) => {
    expect(proceduresPerRevision(difference)).toEqual(expected);
  });
});
