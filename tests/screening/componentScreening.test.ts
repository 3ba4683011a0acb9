import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { componentScreening, type ComponentCounts } from '@/lib/screening/components/componentScreening';
import { higherRateP, rateRatio } from '@/lib/screening/components/rateRatio';
import { usualScreening, type ScreeningSettings } from '@/lib/screening/components/screeningSettings';
import { poissonLimits } from '@/lib/stats/rates';
import { expectClose } from '../reference/closeTo';
import { estimated } from '../stats/designs';
import { fixture } from '../stats/rows';

type Pair = 'o1' | 't1' | 'o2' | 't2';
type Rate = 'exact' | 'midP' | 'ratio' | 'lower' | 'upper';
interface Run extends Record<'expected' | 'ratio' | 'midP' | 'adjusted' | 'shrunkenLower' | 'lower', number[]> {
  readonly name: string; readonly test: ScreeningSettings['test']; readonly counts: { kind: string[]; observed: number[]; exposure: number[] };
}
const [{ pairs, rates }, ...runs] = (fixture('componentScreening') as { cases: [{ pairs: Record<Pair, number[]>; rates: Record<Rate, number[]> }, ...Run[]] }).cases;

const component = (key: string, observed: number, exposure: number, more: Partial<ComponentCounts> = {}): ComponentCounts =>
  ({ key, kind: 'glenoid', procedures: 300, atRisk: 200, observed, exposure, flaggedAtLooks: [], ...more });
const countsOf = ({ kind, observed, exposure }: Run['counts']) => observed.map((o, k) => component(`M${k}`, o, exposure[k]!, { kind: kind[k]! }));

describe('one rate against that of all others', () => {
  it('exact test, mid-P and limits as in R', () => {
    pairs.o1.forEach((observed, k) => {
      const one = { observed, exposure: pairs.t1[k]! }, others = { observed: pairs.o2[k]!, exposure: pairs.t2[k]! };
      const { exact, midP } = higherRateP(one, others), { ratio, lower, upper } = estimated(rateRatio(one, others));
      expectClose([exact, midP, ratio, lower, upper], [rates.exact[k]!, rates.midP[k]!, rates.ratio[k]!, rates.lower[k]!, rates.upper[k]!], 1e-9);
    });
  });

  const revised = fc.record({ observed: fc.integer({ min: 0, max: 300 }), exposure: fc.integer({ min: 1, max: 100000 }).map((t) => t / 10) });
  it('the mid-P values of both sides add up to 1; the unit of time changes nothing; limits turn over with the ratio', () => {
    fc.assert(fc.property(revised, revised, (one, other) => {
      const inMonths = (r: typeof one) => ({ ...r, exposure: 12 * r.exposure });
      expect(higherRateP(one, other).midP + higherRateP(other, one).midP).toBeCloseTo(1, 9);
      expectClose(higherRateP(inMonths(one), inMonths(other)).midP, higherRateP(one, other).midP, 1e-9);
      if (one.observed === 0 || other.observed === 0) return;
      const { ratio, lower, upper } = estimated(rateRatio(one, other)), turned = estimated(rateRatio(other, one)), wide = estimated(rateRatio(one, other, 0.99));
      expectClose([turned.ratio, turned.lower, turned.upper], [1 / ratio, 1 / upper, 1 / lower], 1e-8);
      expect(lower).toBeLessThan(ratio);
      expect(upper).toBeGreaterThan(ratio);
      expect(wide.lower).toBeLessThan(lower);
      expect(wide.upper).toBeGreaterThan(upper);
    }));
  });

  it('against a very large comparator it becomes the test against a known rate', () => {
    const { lower, upper } = estimated(rateRatio({ observed: 8, exposure: 100 }, { observed: 4e6, exposure: 1e8 })), known = poissonLimits(8);
    expectClose([lower, upper], [known.lower / 4, known.upper / 4], 1e-4);
  });

  it('no revisions among the others, or no time: no ratio', () => {
    expect(rateRatio({ observed: 4, exposure: 10 }, { observed: 0, exposure: 10 })).toEqual({ status: 'notEstimable', reason: 'no revisions among the others' });
    expect(rateRatio({ observed: 0, exposure: 0 }, { observed: 2, exposure: 10 })).toEqual({ status: 'notEstimable', reason: 'no time at risk' });
  });
});

describe('screening of components', () => {
  it.each(runs)('as by R: $name', ({ counts, test, ...recorded }) => {
    const found = componentScreening(countsOf(counts), { ...usualScreening, test, minimumExpected: 0 });
    expect(found.assessed).toBe(counts.observed.length);
    expectClose(found.components.map((c) => c.expected), recorded.expected);
    expectClose(found.components.map((c) => estimated(c.ratio).ratio), recorded.ratio);
    expectClose(found.components.map((c) => estimated(c.ratio).lower), recorded.lower);
    expectClose(found.components.map((c) => c.p!.midP), recorded.midP);
    expectClose(found.components.map((c) => c.p!.adjusted), recorded.adjusted);
    expectClose(found.components.map((c) => estimated(c.shrunken).lower), recorded.shrunkenLower);
    const flagged = found.components.map(({ status }) => status === 'flagged');
    expect(flagged).toEqual(recorded.ratio.map((r, k) => r >= 1.5 && recorded.shrunkenLower[k]! > 1 && recorded.adjusted[k]! <= 0.05));
    expect(found.components.filter(({ status }) => status === 'flagged').map(({ key }) => key)).toEqual(['M0', 'M14']);
  });

  const usual = Array.from({ length: 11 }, (_, k) => component(`U${k}`, 18 + (k % 4), 1000));
  const of = (list: readonly ComponentCounts[], key: string, settings: Partial<ScreeningSettings> = {}) => componentScreening(list, { ...usualScreening, ...settings }).components.find((c) => c.key === key)!;
  const notMet = (c: ReturnType<typeof of>) => c.criteria.filter(({ status }) => status === 'notMet').map(({ name }) => name);

  it('a model revised three times as often as its kind is flagged, and those that pass are listed with what they met', () => {
    const all = [...usual, component('X', 60, 1000)], found = componentScreening(all, usualScreening);
    expect(found.components.map(({ key }) => key)).toEqual(all.map(({ key }) => key));
    expect(found.components.map(({ status }) => status)).toEqual([...usual.map(() => 'passed'), 'flagged']);
    expect(of(all, 'X').criteria.map(({ name, status }) => [name, status])).toEqual(['others', 'atRisk', 'expected', 'ratio', 'shrunkenLower', 'adjustedP'].map((name) => [name, 'met']));
    expect(notMet(found.components[0]!)).toEqual(['ratio', 'shrunkenLower', 'adjustedP']);
    expect(found.settings).toEqual(usualScreening);
  });

  it.each([
    { why: 'too few at risk at two years', odd: component('X', 12, 100, { atRisk: 49 }), failed: ['atRisk'] },
    { why: 'under one revision to expect', odd: component('X', 0, 30), failed: ['expected'] },
    { why: 'the only one of its kind', odd: component('X', 12, 100, { kind: 'stem' }), failed: ['others'] },
    { why: 'never followed', odd: component('X', 0, 0, { atRisk: 0 }), failed: ['atRisk', 'expected'] },
  ])('not assessed, and no part of the family of tests: $why', ({ odd, failed }) => {
    const found = componentScreening([...usual, odd], usualScreening), last = found.components.at(-1)!;
    expect(last).toMatchObject({ status: 'notAssessed', p: null });
    expect(notMet(last)).toEqual(failed);
    expect(found.assessed).toBe(11);
  });

  it('a certain but small difference is no flag', () => {
    const all = [...usual.map((c) => ({ ...c, observed: 20 * c.observed, exposure: 20 * c.exposure })), component('X', 560, 20000)];
    expect(notMet(of(all, 'X'))).toEqual(['ratio']);
    expect(of(all, 'X', { minimumRatio: 1.2 }).status).toBe('flagged');
  });

  it('a model of five, too few to draw ratios together, is judged by ratio and test alone and says so', () => {
    const few = [...usual.slice(0, 4), component('X', 60, 1000)], found = of(few, 'X');
    expect(found.status).toBe('flagged');
    expect(found.criteria.find(({ name }) => name === 'shrunkenLower')).toMatchObject({ status: 'notApplied', reason: 'fewer than 10 units (5)' });
  });

  it('all others together without a revision: a flag without a ratio', () => {
    const found = of([component('A', 0, 500), component('X', 9, 400)], 'X');
    expect(found).toMatchObject({ status: 'flagged', ratio: { status: 'notEstimable', reason: 'no revisions among the others' } });
    expect(of([component('A', 0, 500), component('X', 9, 400)], 'X', { test: 'poisson' }).p!.exact).toBeCloseTo((4 / 9) ** 9, 12);
  });

  it('keeps earlier flags with the component, whatever it does now', () => {
    const cleared = component('X', 19, 1000, { flaggedAtLooks: [1, 2] });
    expect(of([...usual, cleared], 'X', { look: 3 })).toMatchObject({ status: 'passed', flaggedAtLooks: [1, 2] });
  });

  it('a component apart changes no other’s comparator, and is held against the others itself', () => {
    const withdrawn = component('W', 90, 1000, { apart: true }), flagged = component('X', 60, 1000);
    const alone = componentScreening([...usual, flagged], usualScreening).components, beside = componentScreening([...usual, flagged, withdrawn], usualScreening).components;
    alone.forEach(({ expected, others, ratio }, k) => { expect(beside[k]).toMatchObject({ expected, others, ratio }); });
    expect(beside.at(-1)).toMatchObject({ key: 'W', others: { observed: alone.reduce((sum, c) => sum + c.observed, 0), exposure: 12_000 }, status: 'flagged' });
  });

  const family = fc.array(fc.record({ observed: fc.integer({ min: 0, max: 40 }), exposure: fc.integer({ min: 1, max: 2000 }), kind: fc.constantFrom('glenoid', 'stem') }), { minLength: 2, maxLength: 25 })
    .map((list) => list.map((c, k) => component(`M${k}`, c.observed, c.exposure, { kind: c.kind })));
  it('the order of components changes no verdict', () => {
    fc.assert(fc.property(family, fc.constantFrom('conditional' as const, 'poisson' as const), (list, test) => {
      const there = componentScreening(list, { ...usualScreening, test }), back = componentScreening(list.toReversed(), { ...usualScreening, test });
      expect(back.components.toReversed().map(({ status }) => status)).toEqual(there.components.map(({ status }) => status));
    }));
  });

  it('revisions expected within a kind add up to those observed; stricter settings flag no more', () => {
    fc.assert(fc.property(family, (list) => {
      const found = componentScreening(list, usualScreening);
      expect(found.components.reduce((sum, c) => sum + c.expected, 0)).toBeCloseTo(list.reduce((sum, c) => sum + c.observed, 0), 8);
      const stricter = componentScreening(list, { ...usualScreening, minimumRatio: 2, falseDiscoveryRate: 0.01, confidence: 0.99 });
      stricter.components.forEach(({ status }, k) => { if (status === 'flagged') expect(found.components[k]!.status).toBe('flagged'); });
    }));
  });
});
