import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Design, NotEstimable } from '@/lib/stats/cells';
import { baselineHazard } from '@/lib/stats/cox/baselineHazard';
import { cox } from '@/lib/stats/cox/cox';
import { firstAbove } from '@/lib/stats/distinctTimes';
import { standardisation, type GroupModel, type Standardisation } from '@/lib/stats/standardised/standardisation';
import { standardisedAt } from '@/lib/stats/standardised/standardisedAt';
import { standardisedContrast } from '@/lib/stats/standardised/standardisedContrast';
import { standardisedMeans } from '@/lib/stats/standardised/standardisedMeans';
import { subset, indexesByGroup } from '@/lib/stats/subset';
import { cellsOf, cellsOfProcedures, groupOf, oneByOne, procedures, type Procedure } from './rows';

function ok<T extends { status: 'ok' }>(result: T | NotEstimable): T {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}
const designs = ['stemmed', 'stemless'];
const none: Design = { names: [], values: new Float64Array(0), pattern: new Int32Array(0) };
/** Woman or not, by any rule. */
const sexOf = (list: readonly Procedure[]): Design => ({ names: ['woman'], values: Float64Array.from([0, 1]), pattern: Int32Array.from(list, (p) => (p.count + p.exit) % 2) });
const models = fc.constantFrom<GroupModel>('stratified', 'proportional');
const estimates = (all: Standardisation, t: number) => standardisedAt(all, t).groups.map(({ estimate }) => estimate);
const expectClose = (one: number, other: number, digits = 8): void => { if (Number.isNaN(other)) expect(one).toBeNaN(); else expect(one).toBeCloseTo(other, digits); };

describe('laws of standardised curves', () => {
  it('without covariates, a group’s curve is that of its own cumulative hazard', () => {
    fc.assert(fc.property(procedures({ minLength: 10 }), (list) => {
      const cells = cellsOfProcedures(list), group = groupOf(list), all = standardisation(cells, none, group, designs);
      if (all.status !== 'ok') { expect(list.some((p) => p.event === 1) && list.reduce((n, p) => n + p.count, 0) > 1).toBe(false); return; }
      indexesByGroup(group, 2).forEach((indexes, g) => {
        const own = cox(subset(cells, indexes), none);
        if (own.status !== 'ok') return;
        const { time, cumulativeHazard } = baselineHazard(own);
        for (let t = 0; t <= all.reach[g]!; ++t) expectClose(ok(estimates(all, t)[g]!).percent, 100 * (1 - Math.exp(-(cumulativeHazard[firstAbove(time, t) - 1] ?? 0))));
      });
      expect(standardisedAt(all, 3).covariance[1]).toBe(0); // groups have nothing in common
    }));
  });

  it('does not know the order of procedures, nor how they were gathered into cells', () => {
    fc.assert(fc.property(procedures({ minLength: 10 }), models, (list, model) => {
      const apart = oneByOne(list).reverse().map((p) => ({ ...p, count: 1 }));
      const sexes = new Map(list.map((p) => [p, (p.count + p.exit) % 2])); // each procedure keeps its sex
      const apartSex = Int32Array.from([...list].reverse().flatMap((p) => Array.from({ length: p.count }, () => sexes.get(p)!)));
      const whole = standardisation(cellsOfProcedures(list), sexOf(list), groupOf(list), designs, model);
      const parts = standardisation(cellsOfProcedures(apart), { ...sexOf(list), pattern: apartSex }, groupOf(apart), designs, model);
      if (whole.status !== 'ok' || parts.status !== 'ok') { expect(parts.status).toBe(whole.status); return; }
      for (const t of [0, 4, 9]) {
        const one = standardisedAt(whole, t), other = standardisedAt(parts, t);
        one.groups.forEach(({ estimate, ...rest }, g) => {
          expect(other.groups[g]).toMatchObject(rest);
          const twin = other.groups[g]!.estimate;
          if (estimate.status !== 'ok' || twin.status !== 'ok') { expect(twin).toEqual(estimate); return; }
          for (const field of ['percent', 'standardError', 'lower', 'upper'] as const) expectClose(twin[field], estimate[field], 5);
        });
      }
    }));
  });

  it('gives none where two levels without revisions are bound up with each other: which of them spares whom cannot be told', () => {
    const at = (exit: number, event: number, group: number, count: number): Procedure => ({ exit, event, group, count, entry: -Infinity });
    const list = [at(2, 1, 0, 3), at(8, 1, 0, 3), at(0, 0, 0, 2), at(4, 0, 1, 3), at(9, 0, 1, 1)]; // stemless, and men once anybody is revised: the same shoulders
    const design = { ...sexOf(list), pattern: Int32Array.of(1, 1, 0, 1, 0) };
    expect(standardisation(cellsOfProcedures(list), design, groupOf(list), designs, 'proportional'))
      .toMatchObject({ status: 'notEstimable', reason: expect.stringMatching(/^no revisions among the 3 procedures without woman to compare with/) as string });
  });

  it('finds no difference between a group and its double', () => {
    fc.assert(fc.property(procedures({ minLength: 5, groups: 1 }), models, (list, model) => {
      const double = [...list, ...list], group = Int32Array.from(double, (_, i) => (i < list.length ? 0 : 1));
      const all = standardisation(cellsOfProcedures(double), sexOf(double), group, designs, model);
      if (all.status !== 'ok') return;
      const { difference, ratio } = standardisedContrast(standardisedAt(all, 5), 1, 0);
      if (difference.status === 'ok') expect(difference.value).toBeCloseTo(0, 6);
      if (ratio.status === 'ok') expect(ratio.value).toBeCloseTo(1, 6);
      const means = standardisedMeans(all, 5).difference(1, 0);
      if (means.status === 'ok') expect(means.mean).toBeCloseTo(0, 6);
    }));
  });

  it('has a quarter of the variance with four times as many of each, and a difference that changes sign when the groups change places', () => {
    const list = Array.from({ length: 60 }, (_, i) => ({ exit: (i * 7) % 11, event: Number(i % 3 === 0), entry: -Infinity, group: i % 2, count: 1 + (i % 4) }));
    const of = (times: number): Standardisation =>
      ok(standardisation(cellsOfProcedures(list.map((p) => ({ ...p, count: times * p.count }))), sexOf(list), groupOf(list), designs));
    const one = standardisedAt(of(1), 6), other = standardisedAt(of(4), 6);
    other.covariance.forEach((v, k) => { expect(v / one.covariance[k]!).toBeCloseTo(0.25, 1); }); // tied events share other denominators
    const forth = standardisedContrast(one, 1, 0), back = standardisedContrast(one, 0, 1);
    expect(ok(forth.difference).value).toBeCloseTo(-ok(back.difference).value, 12);
    expect(ok(forth.difference).lower).toBeCloseTo(-ok(back.difference).upper, 12);
    expect(ok(forth.ratio).value * ok(back.ratio).value).toBeCloseTo(1, 12);
    expect(ok(forth.ratio).lower * ok(back.ratio).upper).toBeCloseTo(1, 12);
  });
});

describe('what cannot be standardised', () => {
  const exit = [2, 4, 6, 8, 10, 2, 4, 6, 8, 10], group = Int32Array.from([0, 0, 0, 0, 0, 1, 1, 1, 1, 1]);
  const young: Design = { names: ['under 55'], values: Float64Array.from([0, 1]), pattern: Int32Array.from([0, 1, 0, 1, 0, 1, 0, 1, 0, 1]) };
  const event = [1, 0, 1, 0, 1, 0, 1, 0, 1, 0];

  it.each([
    { story: 'no revisions at all', rows: { exit, event: exit.map(() => 0) }, reason: 'no revisions' },
    { story: 'a single hospital', rows: { exit, event, cluster: exit.map(() => 4) }, reason: 'all procedures belong to one cluster' },
  ])('$story', ({ rows, reason }) => {
    expect(standardisation(cellsOf(rows), young, group, designs)).toEqual({ status: 'notEstimable', reason });
  });

  it('a level without revisions is taken to have none, a reference level without revisions is refused', () => {
    const cells = cellsOf({ exit, event: [1, 0, 1, 0, 1, 1, 0, 1, 0, 1] }), alternating = { ...young, pattern: Int32Array.from([0, 1, 0, 1, 0, 0, 1, 0, 1, 0]) };
    const all = ok(standardisation(cells, alternating, group, designs)), old = ok(standardisation(cells, none, group, designs));
    const hazard = -Math.log(1 - ok(estimates(all, 3)[0]!).percent / 60); // of the 60 % who are not under 55
    expect(hazard).toBeCloseTo(1 / 3, 9);
    expect(-Math.log(1 - ok(estimates(old, 3)[0]!).percent / 100)).toBeCloseTo(1 / 5, 9);
    expect(standardisation(cells, { ...alternating, values: Float64Array.from([1, 0]) }, group, designs)).toEqual(
      { status: 'notEstimable', reason: 'no revisions among the 4 procedures without under 55 to compare with; join under 55 with another level or leave it out' });
  });

  it.each([
    { story: 'an empty group', groups: [...designs, 'long-stemmed'], stratum: undefined, which: 2, reason: 'no procedures with long-stemmed' },
    { story: 'a group absent from one region', groups: designs, stratum: [0, 0, 1, 0, 1, 0, 0, 0, 0, 0], which: 1, reason: 'no procedures with stemless in one of the strata' },
  ])('$story, while the others have their curves', ({ groups, stratum, which, reason }) => {
    const all = ok(standardisation(cellsOf({ exit, event, ...(stratum && { stratum }) }), young, group, groups)), at = standardisedAt(all, 3);
    expect(at.groups[which]!.estimate).toEqual({ status: 'notEstimable', reason });
    expect(at.groups[0]!.estimate.status).toBe('ok');
    expect(standardisedContrast(at, which, 0)).toEqual({ difference: { status: 'notEstimable', reason }, ratio: { status: 'notEstimable', reason } });
    expect(standardisedMeans(all, 3).difference(0, which)).toEqual({ status: 'notEstimable', reason });
  });

  it('a group without a revision has the exact limit if it has its own hazard, and no estimate as a ratio', () => {
    const cells = cellsOf({ exit, event: [1, 0, 1, 0, 1, 0, 0, 0, 0, 0] });
    const at = standardisedAt(ok(standardisation(cells, young, group, designs)), 4);
    expect(at.groups[1]!.estimate).toMatchObject({ percent: 0, lower: 0, noEvents: true });
    expect(ok(at.groups[1]!.estimate).upper).toBeCloseTo(100 * (1 - 0.025 ** (1 / 4)), 10);
    expect(ok(standardisedContrast(at, 1, 0).difference)).toMatchObject({ value: -ok(at.groups[0]!.estimate).percent });
    expect(standardisedContrast(at, 1, 0).ratio).toEqual({ status: 'notEstimable', reason: 'no revisions in one of the groups by then' });
    const means = standardisedMeans(ok(standardisation(cells, young, group, designs)), 4);
    expect(means.groups[1]).toEqual({ status: 'ok', mean: 4, standardError: NaN, lower: NaN, upper: NaN });

    const proportional = standardisedAt(ok(standardisation(cells, young, group, designs, 'proportional')), 4);
    expect(proportional.groups[1]!.estimate).toEqual({ status: 'notEstimable', reason: 'no revisions among the 5 procedures with stemless' });
    expect(proportional.groups[0]!.estimate.status).toBe('ok');
  });

  it('a group without a revision has none whatever the shares of the case mix add up to', () => {
    const sevenths: Design = { names: ['a', 'b'], values: Float64Array.from([0, 0, 1, 0, 0, 1]), pattern: Int32Array.from(exit, (_, i) => [0, 1, 2, 0, 1, 2, 2, 1, 0, 0][i]!) };
    const cells = cellsOf({ exit, event: [1, 1, 1, 1, 0, 0, 0, 0, 0, 0], count: [1, 3, 1, 7, 1, 11, 1, 1, 13, 1] });
    const all = ok(standardisation(cells, sevenths, group, designs));
    for (let t = 0; t <= 10; ++t) expect(estimates(all, t)[1]).toMatchObject({ status: 'ok', percent: 0, standardError: 0, noEvents: true });
    expect(standardisedMeans(all, 7).groups[1]).toEqual({ status: 'ok', mean: 7, standardError: NaN, lower: NaN, upper: NaN });
    expect(ok(standardisedMeans(all, 7).difference(1, 0)).p).toBeNaN();
  });

  it('ends where a group’s follow-up ends, or sooner where its curve stops', () => {
    const all = ok(standardisation(cellsOf({ exit, event }), young, group, designs, 'proportional'));
    expect(estimates(all, 10).map((e) => e.status)).toEqual(['ok', 'ok']);
    expect(estimates(all, 11)[0]).toEqual({ status: 'notEstimable', reason: 'beyond the end of follow-up (n = 0)' });
    const stop = { index: 2, time: 6, atRisk: 3, stopped: true, thinFrom: null, thinUntil: null };
    expect(standardisedAt(all, 7, { stops: [stop, stop] }).groups[0]!.estimate).toEqual({ status: 'notEstimable', reason: 'too few at risk (n = 2)' });
    expect(standardisedMeans(all, 7, { stops: [stop, stop] }).groups[0]).toEqual({ status: 'notEstimable', reason: 'too few at risk (n = 2)' });
  });
});
