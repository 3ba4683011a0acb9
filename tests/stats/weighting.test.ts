import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Design, NotEstimable } from '@/lib/stats/cells';
import { cox } from '@/lib/stats/cox/cox';
import { robustCovariance } from '@/lib/stats/cox/robust';
import { percentAt, percentCurve } from '@/lib/stats/cumulativePercentRevision';
import { eventTable } from '@/lib/stats/eventTable';
import { kaplanMeier, type KaplanMeier } from '@/lib/stats/kaplanMeier';
import { stopOf } from '@/lib/stats/stopRule';
import { balance } from '@/lib/stats/weighting/balance';
import { propensityWeights } from '@/lib/stats/weighting/propensityWeights';
import { weightedCox } from '@/lib/stats/weighting/weightedCox';
import { weightedKaplanMeier } from '@/lib/stats/weighting/weightedKaplanMeier';
import { cellsOf, cellsOfProcedures, groupOf, oneByOne, procedures, type Procedure } from './rows';

function ok<T extends { status: 'ok' }>(result: T | NotEstimable): T {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}
const ones = (n: number): Float64Array => new Float64Array(n).fill(1);
const expectSameCurve = (one: KaplanMeier, other: KaplanMeier): void => {
  expect(one.table.time).toEqual(other.table.time);
  one.survival.forEach((s, j) => {
    expect(s).toBeCloseTo(other.survival[j]!, 12);
    if (s > 0) expect(one.varLog[j]! / (1 + other.varLog[j]!)).toBeCloseTo(other.varLog[j]! / (1 + other.varLog[j]!), 9);
  });
};
const weighted = (p: Procedure): number => 0.3 + p.group + (p.exit % 3) / 4;
const weightOf = (list: readonly Procedure[]): Float64Array => Float64Array.from(list, weighted);

describe('weighted Kaplan–Meier', () => {
  it('with all weights equal is Kaplan–Meier with the limits of Greenwood, where none enters late', () => {
    fc.assert(fc.property(procedures({ late: false }), fc.double({ min: 0.1, max: 10, noNaN: true }), (list, w) => {
      const cells = cellsOfProcedures(list), plain = kaplanMeier(eventTable(cells)), curve = weightedKaplanMeier(cells, ones(list.length).fill(w));
      expectSameCurve(curve, plain);
      curve.table.atRisk.forEach((n, j) => { expect(n).toBeCloseTo(plain.table.atRisk[j]!, 9); });
    }));
  });

  it('does not know the order of procedures, nor how they were gathered into cells', () => {
    fc.assert(fc.property(procedures(), (list) => {
      const apart = oneByOne(list).reverse();
      expectSameCurve(weightedKaplanMeier(cellsOfProcedures(apart), weightOf(apart)), weightedKaplanMeier(cellsOfProcedures(list), weightOf(list)));
    }));
  });

  it('does not know of follow-up cut in two, if both parts belong to one cluster', () => {
    fc.assert(fc.property(procedures({ late: false }), fc.integer({ min: 1, max: 11 }), (list, cut) => {
      const whole = oneByOne(list), cells = cellsOfProcedures(whole);
      const parts = whole.flatMap((p, i) => (p.exit > cut ? [{ ...p, exit: cut, event: 0, i }, { ...p, entry: cut, i }] : [{ ...p, i }]));
      const cut2 = weightedKaplanMeier({ ...cellsOfProcedures(parts), cluster: Int32Array.from(parts, (p) => p.i) }, Float64Array.from(parts, (p) => weighted(whole[p.i]!)));
      const uncut = weightedKaplanMeier(cells, weightOf(whole)), at = (curve: KaplanMeier, t: number) => {
        const { estimate } = percentAt(curve, stopOf(curve, { largestStep: 0, minAtRisk: 0 }), t);
        return estimate.status === 'ok' ? estimate : null;
      };
      for (let t = 0; t <= 12; ++t) {
        const one = at(uncut, t), other = at(cut2, t);
        expect(other === null).toBe(one === null);
        if (!one || !other) continue;
        expect(other.percent).toBeCloseTo(one.percent, 9);
        if (one.percent < 100) expect(other.standardError).toBeCloseTo(one.standardError, 9);
      }
    }));
  });

  it('stops, and limits a curve without events, by the effective number at risk', () => {
    const curve = weightedKaplanMeier(cellsOf({ exit: [10, 10], event: [0, 0], count: [90, 10] }), Float64Array.from([1, 9])), effective = 180 ** 2 / (90 + 810);
    expect(curve.table.atRisk[0]).toBeCloseTo(effective, 12);
    expect(stopOf(curve, { largestStep: 0.02, minAtRisk: 0 })).toMatchObject({ index: -1, stopped: true });
    expect(percentCurve(curve).upper[0]).toBeCloseTo(100 * (1 - 0.025 ** (1 / effective)), 10);
  });

  it('a weight of nothing is refused', () => {
    expect(() => weightedKaplanMeier(cellsOf({ exit: [1], event: [1] }), Float64Array.from([0]))).toThrow('cell 0: weight must be a finite number above 0: 0');
  });
});

describe('weighted Cox regression', () => {
  const byGroup = (list: readonly Procedure[]): Design => ({ names: ['new design'], values: Float64Array.from([0, 1]), pattern: groupOf(list) });

  it('with all weights 1 is Cox regression with robust limits', () => {
    fc.assert(fc.property(procedures({ minLength: 20 }), (list) => {
      const cells = { ...cellsOfProcedures(list), cluster: Int32Array.from(list, (p, i) => (p.count === 1 ? -1 : i % 7)) };
      const plain = cox(cells, byGroup(list), { ties: 'breslow' }), result = weightedCox(cells, ones(list.length), byGroup(list));
      if (plain.status !== 'ok' || plain.notEstimable[0]) {
        expect(result.status === 'ok' ? result.fit.notEstimable : result).toEqual(plain.status === 'ok' ? plain.notEstimable : plain);
        return;
      }
      const robust = robustCovariance(plain);
      if (robust.status !== 'ok') { expect(result).toEqual(robust); return; } // e.g. all who were at risk revised on one day
      expect(ok(result).fit.coefficient[0]).toBeCloseTo(plain.coefficient[0]!, 8);
      expect(ok(result).covariance[0]).toBeCloseTo(robust.covariance[0]!, 8);
    }));
  });

  it.each([
    { story: 'no revisions', event: [0, 0, 0, 0], cluster: undefined, reason: 'no revisions' },
    { story: 'a single hospital', event: [1, 0, 1, 1], cluster: [3, 3, 3, 3], reason: 'all procedures belong to one cluster' },
  ])('$story', ({ event, cluster, reason }) => {
    const cells = cellsOf({ exit: [1, 2, 3, 4], event, ...(cluster && { cluster }) });
    const result = weightedCox(cells, Float64Array.from([1, 2, 3, 1]), { names: ['new design'], values: Float64Array.from([0, 1]), pattern: Int32Array.from([0, 1, 1, 0]) });
    expect(result).toEqual({ status: 'notEstimable', reason });
  });

  it('counts whole procedures where a design has no revisions', () => {
    const cells = cellsOf({ exit: [1, 2, 3, 4], event: [1, 0, 0, 1] });
    const result = ok(weightedCox(cells, Float64Array.from([1.2, 0.7, 2.1, 1]), { names: ['the new design'], values: Float64Array.from([0, 1]), pattern: Int32Array.from([0, 1, 1, 0]) }));
    expect(result.fit.notEstimable[0]!.reason).toBe('no revisions among the 2 procedures with the new design');
    expect(result.covariance[0]).toBeNaN();
    expect(result.fit.events).toBe(2);
  });
});

describe('propensity weights', () => {
  // Stemless given to the young: 4 age bands, counts of (stemmed, stemless)
  const design: Design = { names: ['65 or over', 'woman'], values: Float64Array.from([0, 0, 0, 1, 1, 0, 1, 1]), pattern: Int32Array.from([0, 1, 2, 3, 0, 1, 2, 3]) };
  const count = Float64Array.from([20, 30, 60, 90, 60, 40, 20, 10]), group = Int32Array.from([0, 0, 0, 0, 1, 1, 1, 1]), names = ['stemmed', 'stemless'];

  it('balance exactly, for those in the overlap', () => { // Li, Morgan & Zaslavsky 2018, J Am Stat Assoc 113:390, theorem 3
    const { weight } = ok(propensityWeights(design, count, group, names, 'overlap'));
    for (const { before, after } of balance(design, count, weight, group, 2)) {
      expect(before.largestDifference).toBeGreaterThan(0.1);
      expect(after.largestDifference).toBeLessThan(1e-8);
    }
  });

  it('with a column per pattern, give each group the case mix of all', () => {
    const saturated = { ...design, names: ['b', 'c', 'd'], values: Float64Array.from([0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1]) };
    const { weight } = ok(propensityWeights(saturated, count, group, names));
    const all = [80, 70, 80, 100].map((n) => n / 330);
    for (const [g, total] of [[0, 200], [1, 130]] as const) {
      all.forEach((share, p) => { expect((weight[4 * g + p]! * count[4 * g + p]!) / total).toBeCloseTo(share, 9); });
    }
  });

  it('are 1, and cost nothing, without covariates', () => {
    const { weight, groups } = ok(propensityWeights({ names: [], values: new Float64Array(0), pattern: design.pattern }, count, group, names));
    weight.forEach((w) => { expect(w).toBeCloseTo(1, 12); });
    expect(groups.map((g) => Math.round(g.effectiveSize))).toEqual([200, 130]);
    expect(groups.map((g) => g.extremePercent)).toEqual([0, 0]);
  });

  it('tell how few procedures carry a group, and how many weigh too much', () => {
    const rare = { ...design, names: ['65 or over'], values: Float64Array.from([0, 0, 1, 1]) };
    const { groups } = ok(propensityWeights(rare, Float64Array.from([900, 0, 900, 0, 1000, 0, 1, 0].map((n) => n || 1e-9)), group, names));
    expect(groups[1]!.largest).toBeGreaterThan(10);
    expect(groups[1]!.effectiveSize).toBeLessThan(10);
    expect(groups[1]!.extremePercent).toBeCloseTo(100 / 1001, 6);
  });

  it.each([
    { story: 'a design never used in women', count: [20, 30, 60, 90, 60, 0, 20, 0], reason: 'no procedures with woman among those with stemless, so there is nothing to compare them with' },
    { story: 'an empty group', count: [20, 30, 60, 90, 0, 0, 0, 0], reason: 'no procedures with stemless' },
  ])('$story', ({ count: counted, reason }) => {
    const present = Int32Array.from(counted.keys()).filter((i) => counted[i]! > 0);
    const result = propensityWeights(
      { ...design, pattern: present.map((i) => design.pattern[i]!) }, Float64Array.from(present, (i) => counted[i]!), present.map((i) => group[i]!), names,
    );
    expect(result).toEqual({ status: 'notEstimable', reason });
  });
});

describe('balance', () => {
  it('is infinite where all of one group and none of another have a level, and nothing where none has it', () => {
    const design: Design = { names: ['fracture', 'tumour'], values: Float64Array.from([1, 0, 0, 0]), pattern: Int32Array.from([0, 1]) };
    expect(balance(design, Float64Array.from([5, 9]), ones(2), Int32Array.from([0, 1]), 2).map((b) => b.before.largestDifference)).toEqual([Infinity, 0]);
  });
});
