import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { funnel } from '@/lib/screening/funnel/funnel';
import { funnelLimits } from '@/lib/screening/funnel/funnelLimits';
import { overdispersion } from '@/lib/screening/funnel/overdispersion';
import { expectClose } from '../reference/closeTo';
import { estimated } from '../stats/designs';
import { fixture } from '../stats/rows';

interface Limits { readonly lower: number[]; readonly upper: number[] }
interface Spread {
  readonly name: string; readonly observed: number[]; readonly expected: number[]; readonly raw: number; readonly factor: number; readonly present: boolean;
  readonly betweenVariance: number; readonly limits: { readonly level: number; readonly additive: Limits; readonly multiplicative: Limits }[];
}
const [{ limits }, ...spreads] = (fixture('funnel') as { cases: [{ limits: Limits & { expected: number[]; level: number[] } }, ...Spread[]] }).cases;
const unitsOf = ({ observed, expected }: { observed: readonly number[]; expected: readonly number[] }) => observed.map((o, k) => ({ observed: o, expected: expected[k]! }));

describe('funnel limits', () => {
  it('as by R\'s Poisson distribution, from 0.05 to 5000 expected', () => {
    limits.expected.forEach((expected, k) => {
      const { lower, upper } = funnelLimits(expected, limits.level[k]!, 'none', null);
      expectClose([lower, upper], [limits.lower[k]!, limits.upper[k]!], 1e-9);
    });
  });

  it.each(spreads)('$name: overdispersion and widened limits as by R', (recorded) => {
    const spread = estimated(overdispersion(unitsOf(recorded)));
    expect(spread.present).toBe(recorded.present);
    expectClose([spread.rawFactor, spread.factor, spread.betweenVariance], [recorded.raw, recorded.factor, recorded.betweenVariance], 1e-12);
    if (!spread.present) return;
    for (const { level, ...by } of recorded.limits) {
      for (const widening of ['additive', 'multiplicative'] as const) {
        const found = recorded.expected.map((e) => funnelLimits(e, level, widening, spread));
        expectClose(found.map((l) => l.lower), by[widening].lower);
        expectClose(found.map((l) => l.upper), by[widening].upper);
      }
    }
  });

  it('nest, enclose 1, and close in as more is expected', () => {
    fc.assert(fc.property(fc.double({ min: 0.05, max: 3000, noNaN: true }), fc.double({ min: 1.05, max: 5, noNaN: true }), (expected, times) => {
      const usual = funnelLimits(expected, 0.95, 'none', null), wide = funnelLimits(expected, 0.998, 'none', null);
      const more = funnelLimits(expected * times * times, 0.998, 'none', null);
      expect(wide.lower).toBeLessThanOrEqual(usual.lower);
      expect(wide.upper).toBeGreaterThan(usual.upper);
      expect(usual.lower).toBeLessThan(1);
      if (expected >= 1) {
        expect(usual.upper).toBeGreaterThan(1);
        expect(more.upper).toBeLessThan(wide.upper);
        expect(more.lower).toBeGreaterThanOrEqual(wide.lower);
      }
    }));
  });

  it('nothing expected has no limits', () => {
    expect(() => funnelLimits(0, 0.95, 'none', null)).toThrow('expected must be above 0: 0');
  });
});

describe('a funnel of hospitals', () => {
  const alike = Array.from({ length: 14 }, (_, k) => ({ observed: 10 + (k % 5) - 2, expected: 10 }));

  it('one with three times the revisions expected lies above both pairs of limits, the others within', () => {
    const found = funnel([...alike, { observed: 30, expected: 10 }, { observed: 17, expected: 10 }, { observed: 1, expected: 10 }]);
    const plain = found.units.map((u) => u!.plain);
    expect(plain.slice(0, 14).every(({ side, level }) => side === 'within' && level === null)).toBe(true);
    expect(plain.slice(14)).toMatchObject([{ side: 'higher', level: 0.998 }, { side: 'higher', level: 0.95 }, { side: 'lower', level: 0.998 }]);
    expect(plain[14]!.z).toBeCloseTo(2 * (Math.sqrt(30) - Math.sqrt(10)), 12);
  });

  it('drawing in the extremes keeps one outlier from hiding itself', () => {
    const found = funnel([...alike, { observed: 60, expected: 10 }]);
    expect(estimated(found.overdispersion)).toMatchObject({ present: false, betweenVariance: 0 });
    expect(estimated(found.overdispersion).rawFactor).toBeGreaterThan(4);
    expect(found.units[14]!.widened).toEqual(found.units[14]!.plain);
  });

  it('where all hospitals differ, widened limits leave fewer outside; both readings are given', () => {
    const apart = [2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24].map((observed) => ({ observed: 5 * observed, expected: 60 }));
    for (const widening of ['additive', 'multiplicative'] as const) {
      const { units, overdispersion: spread } = funnel(apart, { widening });
      expect(estimated(spread).present).toBe(true);
      const outside = (of: 'plain' | 'widened') => units.filter((u) => u![of].side !== 'within').length;
      expect(outside('plain')).toBeGreaterThanOrEqual(8);
      expect(outside('widened')).toBeLessThanOrEqual(1);
    }
  });

  it('too few hospitals to judge their spread: plain limits, and why', () => {
    const found = funnel(alike.slice(0, 9));
    expect(found.overdispersion).toEqual({ status: 'notEstimable', reason: 'fewer than 10 units (9)' });
    found.units.forEach((u) => { expect(u!.widened).toEqual(u!.plain); });
  });

  it('a hospital of which nothing is expected has no place in it', () => {
    expect(funnel([...alike, { observed: 0, expected: 0 }]).units[14]).toBeNull();
  });

  const hospitals = fc.array(fc.record({ observed: fc.integer({ min: 0, max: 60 }), expected: fc.integer({ min: 1, max: 500 }).map((e) => e / 10) }), { minLength: 1, maxLength: 25 });
  it('as many observed as expected lies within, at z = 0; the order of hospitals changes no place', () => {
    fc.assert(fc.property(hospitals, fc.constantFrom('additive' as const, 'multiplicative' as const), (list, widening) => {
      const found = funnel([...list, { observed: 20, expected: 20 }], { widening }), back = funnel([{ observed: 20, expected: 20 }, ...list.toReversed()], { widening });
      expect(found.units.at(-1)).toEqual({ ratio: 1, plain: { side: 'within', level: null, z: 0 }, widened: { side: 'within', level: null, z: 0 } });
      back.units.toReversed().forEach((u, k) => {
        const there = found.units[k]!;
        expect(u!.plain).toEqual(there.plain);
        expect(u!.widened.z).toBeCloseTo(there.widened.z, 9);
      });
    }));
  });

  it('widening never makes a z-score larger', () => {
    fc.assert(fc.property(hospitals, fc.constantFrom('additive' as const, 'multiplicative' as const), (list, widening) => {
      funnel(list, { widening }).units.forEach((u) => { expect(Math.abs(u!.widened.z)).toBeLessThanOrEqual(Math.abs(u!.plain.z) + 1e-12); });
    }));
  });
});
