import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Cells } from '@/lib/stats/cells';
import { eventTable } from '@/lib/stats/eventTable';
import { kaplanMeier } from '@/lib/stats/kaplanMeier';
import { restrictedMean, restrictedMeanDifference, type RestrictedMean } from '@/lib/stats/restrictedMean';
import { stopOf } from '@/lib/stats/stopRule';
import { cellsOf, cellsOfProcedures, fixture, oneByOne, procedures, type Rows } from './rows';

const estimate = (cells: Cells, horizon: number, rule = { largestStep: 0, minAtRisk: 0 }) => {
  const km = kaplanMeier(eventTable(cells));
  return restrictedMean(km, stopOf(km, rule), horizon);
};
const ok = (result: ReturnType<typeof estimate>): RestrictedMean => {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
};

const { cases } = fixture('restrictedMean') as { cases: { name: string; input: Rows; horizon: number; mean: number; standardError: number }[] };
const recorded = (name: string): RestrictedMean => {
  const found = cases.find((c) => c.name === name)!;
  return ok(estimate(cellsOf(found.input), found.horizon));
};

describe('against survfit', () => {
  it.each(cases)('$name', ({ input, horizon, mean, standardError }) => {
    const found = ok(estimate(cellsOf(input), horizon));
    expect(found.mean / mean).toBeCloseTo(1, 12);
    expect(found.standardError / standardError).toBeCloseTo(1, 12);
  });
});

describe('in print', () => {
  it('6-mercaptopurine: 23.29 weeks of remission of 35 (Klein & Moeschberger 2003, §4.5; the printed figure quoted from memory)', () => {
    expect(recorded('drug, 35 weeks').mean).toBeCloseTo(23.29, 2);
  });
  // Uno et al., vignette of the R package survRM2, quoted from memory: arm 1 less arm 0 of the trial in primary biliary cirrhosis, ten years, years of life.
  it('primary biliary cirrhosis: −0.137 years of ten (−0.939 to 0.665), p = 0.738', () => {
    const difference = restrictedMeanDifference(recorded('pbc trial, arm 1, ten years'), recorded('pbc trial, arm 2, ten years'));
    expect(difference.difference / 365.25).toBeCloseTo(-0.137, 3);
    expect(difference.lower / 365.25).toBeCloseTo(-0.939, 3);
    expect(difference.upper / 365.25).toBeCloseTo(0.665, 3);
    expect(difference.p).toBeCloseTo(0.738, 3);
  });
});

describe('laws', () => {
  it('is the horizon less the area under the revised, whatever the order and the gathering of cells', () => {
    fc.assert(fc.property(procedures(), fc.integer({ min: 1, max: 12 }), (list, horizon) => {
      const whole = estimate(cellsOfProcedures(list), horizon), apart = estimate(cellsOfProcedures(oneByOne(list).reverse()), horizon);
      expect(apart).toEqual(whole);
      if (whole.status !== 'ok') return;
      const km = kaplanMeier(eventTable(cellsOfProcedures(list)));
      let area = 0; // by days, as all times are whole
      for (let day = 0; day < horizon; ++day) area += km.survival[km.table.time.filter((t) => t <= day).length - 1] ?? 1;
      expect(whole.mean).toBeCloseTo(area, 10);
    }));
  });

  it('has half the standard error with four times as many of each', () => {
    fc.assert(fc.property(procedures(), (list) => {
      const one = estimate(cellsOfProcedures(list), 6), four = estimate(cellsOfProcedures(list.map((p) => ({ ...p, count: 4 * p.count }))), 6);
      expect(four.status).toBe(one.status);
      if (one.status === 'ok' && four.status === 'ok') expect(four.standardError).toBeCloseTo(one.standardError / 2, 10);
    }));
  });
});

describe('at the edges', () => {
  const noEvents = cellsOf({ exit: [10], event: [0], count: [100] });
  it('no events: all of the horizon, with a lower limit from those at risk', () => {
    expect(ok(estimate(noEvents, 10))).toMatchObject({ mean: 10, standardError: 0, lower: 10 * 0.025 ** 0.01, upper: 10, noEvents: true });
    expect(ok(estimate(noEvents, 5)).mean).toBe(5);
  });
  it('a group without events keeps its uncertainty in the difference, which has no p-value', () => {
    const one = ok(estimate(noEvents, 10)), other = ok(estimate(cellsOf({ exit: [5, 10], event: [1, 0], count: [20, 80] }), 10));
    const difference = restrictedMeanDifference(one, other);
    expect(difference).toMatchObject({ difference: 1, p: NaN });
    expect(difference.difference - difference.lower).toBeGreaterThan(10 - one.lower);
  });
  it('an event on the horizon itself takes no time from the mean, nor its uncertainty', () => {
    const onHorizon = cellsOf({ exit: [10, 20], event: [1, 0], count: [2, 98] });
    expect(ok(estimate(onHorizon, 10))).toMatchObject({ mean: 10, lower: 10 * 0.025 ** 0.01, upper: 10, noEvents: true });
  });
  it('all revised on the day of surgery: none of it', () => {
    expect(estimate(cellsOf({ exit: [0, 3], event: [1, 1], count: [5, 1] }), 3)).toMatchObject({ status: 'ok', mean: 0.5 });
    expect(estimate(cellsOf({ exit: [0], event: [1] }), 3)).toEqual({ status: 'notEstimable', reason: 'beyond the end of follow-up (n = 0)' });
  });
  it('all revised on one later day: a mean without spread is no estimate, of which limits and p would say that it is certain', () => {
    expect(estimate(cellsOf({ exit: [2, 5], event: [1, 0], count: [5, 1], entry: [0, 3] }), 5)).toEqual({
      status: 'notEstimable', reason: 'all at risk had the event on one day, which leaves nothing to estimate limits from',
    });
  });
  it('past the stop', () => {
    const thin = cellsOf({ exit: [1, 4, 9], event: [0, 1, 0], count: [100, 1, 5] });
    expect(estimate(thin, 9, { largestStep: 0.02, minAtRisk: 0 })).toEqual({ status: 'notEstimable', reason: 'too few at risk (n = 5)' });
  });
  it('nobody, and no time', () => {
    expect(estimate(cellsOf({ exit: [], event: [] }), 3)).toEqual({ status: 'notEstimable', reason: 'no procedures' });
    expect(estimate(noEvents, 0)).toEqual({ status: 'notEstimable', reason: 'no time to average over' });
  });
  it('two horizons are not compared', () => {
    expect(() => restrictedMeanDifference(ok(estimate(noEvents, 5)), ok(estimate(noEvents, 6)))).toThrow('both means must have one horizon: 5, 6');
  });
});
