import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { gammaPoisson } from '@/lib/screening/shrinkage/gammaPoisson';
import { countsBelow } from '@/lib/screening/shrinkage/countsBelow';
import { rankUncertainty, type RankInterval } from '@/lib/screening/shrinkage/rankUncertainty';
import { shrunkenRatio } from '@/lib/screening/shrinkage/shrunkenRatio';
import type { NotEstimable } from '@/lib/stats/cells';
import { poissonLimits } from '@/lib/stats/rates';
import { expectClose } from '../reference/closeTo';
import { estimated } from '../stats/designs';
import { fixture } from '../stats/rows';
import { lipCancer } from './printed';

type Column = 'observed' | 'expected' | 'mean' | 'lower' | 'upper' | 'above';
type Case = Record<Column, number[]> & { readonly name: string; readonly shape: number; readonly rate: number; readonly chisq: number; readonly p: number };
const unitsOf = ({ observed, expected }: { observed: readonly number[]; expected: readonly number[] }) => observed.map((o, k) => ({ observed: o, expected: expected[k]! }));
const alike = Array.from({ length: 12 }, (_, k) => ({ observed: 8 + (k % 3), expected: 9 }));

describe('spread of the units\' ratios and each drawn towards their mean', () => {
  it.each((fixture('gammaPoisson') as { cases: Case[] }).cases)('$name: as R\'s negative binomial regression', (recorded) => {
    const units = unitsOf(recorded), spread = estimated(gammaPoisson(units));
    expectClose([spread.shape, spread.rate, spread.mean], [recorded.shape, recorded.rate, recorded.shape / recorded.rate], 1e-9);
    expectClose([spread.excess.chisq, spread.excess.p], [recorded.chisq, recorded.p], 1e-9);
    const shrunken = units.map((u) => estimated(shrunkenRatio(spread, u)));
    for (const value of ['mean', 'lower', 'upper', 'above'] as const) expectClose(shrunken.map((s) => s[value]), recorded[value]);
  });

  // Clayton & Kaldor 1987, Biometrics 43:671 (printed estimates from memory)
  it('in print: Scottish lip cancer, shape 1.88 and rate 1.32', () => {
    const { shape, rate } = estimated(gammaPoisson(unitsOf(lipCancer)));
    expect([shape.toFixed(2), rate.toFixed(2)]).toEqual(['1.88', '1.32']);
  });

  it('a county with 9 cases where 1.4 were expected, 6.4 times as many, is drawn to 4.0', () => {
    const spread = gammaPoisson(unitsOf(lipCancer)), { mean, lower, upper, above } = estimated(shrunkenRatio(spread, { observed: 9, expected: 1.4 }));
    expect([mean, lower, upper].map((v) => v.toFixed(2))).toEqual(['4.00', '1.99', '6.70']);
    expect(above).toBeGreaterThan(0.99);
  });

  it('units that differ no more than by chance share one ratio, with exact limits', () => {
    const spread = gammaPoisson(alike), limits = poissonLimits(108);
    expect(spread).toEqual({ status: 'noExcess', units: 12, mean: 1, lower: limits.lower / 108, upper: limits.upper / 108 });
    expect(shrunkenRatio(spread, alike[0]!)).toEqual({ status: 'notEstimable', reason: 'the units differ no more than by chance' });
  });

  it('a spread beyond chance is found though the likelihood falls at first', () => {
    const observed = [11, 0, 3, 0, 0, 0, 0, 0, 2, 0], expected = [2.7145, 0.3136, 0.279, 0.1998, 0.2902, 0.4552, 0.0876, 0.093, 0.6278, 0.1115];
    const spread = estimated(gammaPoisson(unitsOf({ observed, expected })));
    expect(spread.excess.chisq).toBeGreaterThan(0.1);
    expect(1 / spread.shape).toBeGreaterThan(0.3);
  });

  it.each([
    { of: 'nine hospitals', units: alike.slice(3), reason: 'fewer than 10 units (9)' },
    { of: 'ten hospitals, one without any procedure', units: [...alike.slice(3), { observed: 0, expected: 0 }], reason: 'fewer than 10 units (9)' },
    { of: 'no revision anywhere', units: alike.map((u) => ({ ...u, observed: 0 })), reason: 'no revisions' },
  ])('$of: no spread', ({ units, reason }) => {
    const spread = gammaPoisson(units);
    expect(spread).toEqual({ status: 'notEstimable', reason });
    expect(shrunkenRatio(spread, alike[0]!)).toEqual({ status: 'notEstimable', reason });
  });

  it('revisions where none could be expected are refused', () => {
    expect(() => gammaPoisson([...alike, { observed: 2, expected: 0 }])).toThrow('expected must be above 0 where revisions were observed (2): 0');
  });

  const units = fc.array(fc.record({ observed: fc.integer({ min: 0, max: 40 }), expected: fc.integer({ min: 1, max: 400 }).map((e) => e / 10) }), { minLength: 10, maxLength: 30 });
  it('order changes nothing; doubling what is expected halves the ratios', () => {
    fc.assert(fc.property(units, (list) => {
      const spread = gammaPoisson(list), back = gammaPoisson(list.toReversed()), halved = gammaPoisson(list.map((u) => ({ ...u, expected: 2 * u.expected })));
      expect([back.status, halved.status]).toEqual([spread.status, spread.status]);
      if (spread.status !== 'ok' || back.status !== 'ok' || halved.status !== 'ok') return;
      expectClose([back.shape, back.rate], [spread.shape, spread.rate], 1e-6);
      expectClose([halved.shape, halved.mean], [spread.shape, spread.mean / 2], 1e-6);
    }));
  });

  it('a shrunken ratio lies between the unit\'s own and the mean, within its limits, and wide limits contain narrow ones', () => {
    fc.assert(fc.property(units, (list) => {
      const spread = gammaPoisson(list);
      if (spread.status !== 'ok') return;
      for (const unit of list) {
        const raw = unit.observed / unit.expected, usual = estimated(shrunkenRatio(spread, unit)), wide = estimated(shrunkenRatio(spread, unit, { confidence: 0.99 }));
        expect(usual.mean).toBeGreaterThanOrEqual(Math.min(raw, spread.mean) * (1 - 1e-12));
        expect(usual.mean).toBeLessThanOrEqual(Math.max(raw, spread.mean) * (1 + 1e-12));
        expect(usual.lower).toBeLessThan(usual.mean);
        expect(usual.upper).toBeGreaterThan(usual.mean);
        expect(wide.lower).toBeLessThan(usual.lower);
        expect(wide.upper).toBeGreaterThan(usual.upper);
        expect(estimated(shrunkenRatio(spread, unit, { threshold: usual.lower })).above).toBeCloseTo(0.975, 8);
      }
    }));
  });
});

const ranked = (found: RankInterval[] | NotEstimable): RankInterval[] => {
  if ('status' in found) throw new Error(found.reason);
  return found;
};

describe('how little is known of the order of units', () => {
  const hospitals = unitsOf({ observed: [60, 8, 10, 9, 11, 10, 9, 10, 11, 10, 8, 2], expected: [20, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 20] });
  const spread = gammaPoisson(hospitals);

  it('the far ones have their places, those in the middle could stand nearly anywhere between', () => {
    const found = ranked(rankUncertainty(spread, hospitals, { seed: 1 }));
    expect(found[0]).toEqual({ lower: 12, median: 12, upper: 12 });
    expect(found[11]).toEqual({ lower: 1, median: 1, upper: 1 });
    for (const { lower, upper } of found.slice(1, 11)) expect(upper - lower).toBeGreaterThanOrEqual(8);
  });

  it('a place is the number of values below', () => {
    const value = fc.oneof(fc.double({ min: 0, max: 1e3, noNaN: true }), fc.constantFrom(0, 1, 1 + Number.EPSILON, 1e-320, 1e300));
    fc.assert(fc.property(fc.array(value, { minLength: 1, maxLength: 40 }), fc.array(value, { minLength: 40, maxLength: 40 }), (few, others) => {
      const below = countsBelow(few.length);
      for (const values of [few, others.slice(0, few.length)]) expect([...below(Float64Array.from(values))]).toEqual(values.map((v) => values.filter((other) => other < v).length));
    }));
  });

  it('a seed gives the same places again', () => {
    expect(rankUncertainty(spread, hospitals, { seed: 7, draws: 500 })).toEqual(rankUncertainty(spread, hospitals, { seed: 7, draws: 500 }));
    expect(() => rankUncertainty(spread, hospitals, { seed: 0.5 })).toThrow('seed must be a whole number: 0.5');
  });

  it('two units alike stand first as often as second', () => {
    const twins = [{ observed: 10, expected: 10 }, { observed: 10, expected: 10 }];
    const found = ranked(rankUncertainty(spread, twins, { seed: 3, confidence: 0.9 }));
    expect(found.map(({ lower, upper }) => [lower, upper])).toEqual([[1, 2], [1, 2]]);
  });

  it('units that do not differ have no order', () => {
    expect(rankUncertainty(gammaPoisson(alike), alike, { seed: 1 })).toEqual({ status: 'notEstimable', reason: 'the units differ no more than by chance, so they have no order' });
    expect(rankUncertainty(gammaPoisson(alike.slice(4)), alike, { seed: 1 })).toEqual({ status: 'notEstimable', reason: 'fewer than 10 units (8)' });
  });

  it('places run from 1 to the number of units, limits around the median', () => {
    fc.assert(fc.property(fc.integer(), (seed) => {
      for (const { lower, median, upper } of ranked(rankUncertainty(spread, hospitals, { seed, draws: 200 }))) {
        expect(lower).toBeGreaterThanOrEqual(1);
        expect(lower).toBeLessThanOrEqual(median);
        expect(median).toBeLessThanOrEqual(upper);
        expect(upper).toBeLessThanOrEqual(12);
      }
    }), { numRuns: 20 });
  });
});
