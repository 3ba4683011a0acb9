import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { gammaTails } from '@/lib/stats/distributions/incompleteGamma';
import { exposure, poissonLimits, ratePer100 } from '@/lib/stats/rates';
import { estimated } from './designs';
import { mercaptopurine } from './printed';
import { cellsOf, cellsOfProcedures, procedures } from './rows';

describe('revisions per 100 component-years', () => {
  // Breslow & Day 1987, Statistical Methods in Cancer Research II, Table 2.10: limits as multiples of the number observed
  // (values from memory; the last digit is one unit off for 5, where 1.6235/5 = 0.3247).
  it.each([[1, 0.0253, 5.57], [5, 0.324, 2.33], [10, 0.480, 1.84], [20, 0.611, 1.54]])('%d revisions: limits %d and %d times the number', (observed, lower, upper) => {
    const limits = poissonLimits(observed);
    expect(Math.abs(limits.lower / observed - lower)).toBeLessThan(0.001);
    expect(limits.upper / observed).toBeCloseTo(upper, 2);
  });

  it('no revision: the upper limit is −ln 0.025 = 3.689', () => {
    const { lower, upper } = poissonLimits(0);
    expect(lower).toBe(0);
    expect(upper).toBeCloseTo(-Math.log(0.025), 14);
    expect(estimated(ratePer100(0, 50))).toMatchObject({ per100: 0, lower: 0 });
  });

  it('6-MP: 9 relapses in 359 weeks', () => {
    const { events, time } = exposure(cellsOf(mercaptopurine));
    expect([events, time]).toEqual([9, 359]);
    expect(estimated(ratePer100(events, time)).per100).toBeCloseTo(900 / 359, 12);
  });

  it('counts time from a late entry, and none on the day of surgery', () => {
    expect(exposure(cellsOf({ exit: [10, 10, 0], entry: [4, -Infinity, -Infinity], event: [1, 2, 1], count: [2, 3, 5] }))).toEqual({ events: 7, time: 2 * 6 + 3 * 10 });
  });

  it('without time at risk there is no rate', () => {
    expect(ratePer100(2, 0)).toEqual({ status: 'notEstimable', reason: 'no time at risk' });
  });

  // The definition of Garwood 1936: at the upper limit as few events, at the lower limit as many, have probability 0.025.
  it('limits are where the observed number would just be extreme', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 3000 }), (observed) => {
      const { lower, upper } = poissonLimits(observed);
      expect(gammaTails(observed, lower).lower).toBeCloseTo(0.025, 12);
      expect(gammaTails(observed + 1, upper).upper).toBeCloseTo(0.025, 12);
      const wide = poissonLimits(observed, 0.99);
      expect(wide.lower).toBeLessThan(lower);
      expect(wide.upper).toBeGreaterThan(upper);
    }));
  });

  it('events and time add up over groups', () => {
    fc.assert(fc.property(procedures(), procedures(), (a, b) => {
      const together = exposure(cellsOfProcedures([...a, ...b])), [first, second] = [exposure(cellsOfProcedures(a)), exposure(cellsOfProcedures(b))];
      expect(together).toEqual({ events: first.events + second.events, time: first.time + second.time });
    }));
  });
});
