import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { directStandardisation } from '@/lib/screening/standardisation/directStandardisation';
import { poissonLimits } from '@/lib/stats/rates';
import { expectClose } from '../reference/closeTo';
import { estimated } from '../stats/designs';
import { fixture } from '../stats/rows';

interface Case { readonly name: string; readonly confidence: number; readonly strata: { label: string[]; observed: number[]; time: number[]; weight: number[] }; readonly rate: number; readonly lower: number; readonly upper: number }
const strataOf = ({ label, observed, time, weight }: { label: readonly string[]; observed: readonly number[]; time: readonly number[]; weight: readonly number[] }) =>
  observed.map((o, k) => ({ label: label[k]!, observed: o, time: time[k]!, weight: weight[k]! }));

describe('a rate with a standard case mix', () => {
  it.each((fixture('directStandardisation') as { cases: Case[] }).cases)('by its definition in R: $name', ({ strata, confidence, rate, lower, upper }) => {
    const found = estimated(directStandardisation(strataOf(strata), confidence));
    expectClose([found.rate, found.lower, found.upper], [rate, lower, upper]);
  });

  // Fay & Feuer 1997, Stat Med 16:791 (values from memory): Down's syndrome by mother's age, per 100,000 births.
  it('in print: 92.3 per 100,000 (80.4 to 105.8), crude 56.4', () => {
    const births = [230061, 329449, 114920, 39487, 14208, 3052], cases = [107, 141, 60, 40, 39, 25];
    const standard = [319933, 931318, 786511, 488235, 237863, 61313], label = ['under 20', '20–24', '25–29', '30–34', '35–39', '40 and over'];
    const { rate, lower, upper } = estimated(directStandardisation(strataOf({ label, observed: cases, time: births, weight: standard })));
    expect([rate, lower, upper].map((v) => (v * 1e5).toFixed(2))).toEqual(['92.30', '80.44', '105.76']);
    const crude = estimated(directStandardisation(strataOf({ label, observed: cases, time: births, weight: births })));
    expect((crude.rate * 1e5).toFixed(2)).toBe('56.35');
  });

  it('with its own case mix as the standard it is the crude rate with exact limits', () => {
    fc.assert(fc.property(fc.array(fc.record({ observed: fc.integer({ min: 0, max: 30 }), time: fc.integer({ min: 1, max: 5000 }) }), { minLength: 1, maxLength: 6 }), (list) => {
      const events = list.reduce((s, x) => s + x.observed, 0), time = list.reduce((s, x) => s + x.time, 0), exact = poissonLimits(events);
      const { rate, lower, upper } = estimated(directStandardisation(list.map((x, k) => ({ ...x, label: `${k}`, weight: x.time }))));
      expectClose([rate, lower, upper], [events / time, exact.lower / time, exact.upper / time], 1e-9);
    }));
  });

  const strata = fc.array(fc.record({ label: fc.constant('a'), observed: fc.integer({ min: 0, max: 30 }), time: fc.integer({ min: 1, max: 5000 }), weight: fc.integer({ min: 1, max: 100 }) }), { minLength: 1, maxLength: 6 });
  it('order and the scale of the weights change nothing; time in months makes it a twelfth; limits nest', () => {
    fc.assert(fc.property(strata, (list) => {
      const of = (l: typeof list, confidence?: number) => { const { rate, lower, upper } = estimated(directStandardisation(l, confidence)); return [rate, lower, upper] as const; };
      const [rate, lower, upper] = of(list);
      expectClose(of(list.toReversed()), [rate, lower, upper], 1e-9);
      expectClose(of(list.map((s) => ({ ...s, weight: 7 * s.weight }))), [rate, lower, upper], 1e-9);
      expectClose(of(list.map((s) => ({ ...s, time: 12 * s.time }))), [rate / 12, lower / 12, upper / 12], 1e-9);
      const wide = of(list, 0.998);
      expect(wide[1]).toBeLessThanOrEqual(lower);
      expect(wide[2]).toBeGreaterThan(upper);
      expect(lower).toBeLessThanOrEqual(rate);
      expect(upper).toBeGreaterThan(rate);
    }));
  });

  it('a stratum of the standard in which nobody was followed leaves no rate, one outside the standard is left out', () => {
    const young = { label: 'under 55', observed: 0, time: 0, weight: 2 }, old = { label: '75 and over', observed: 3, time: 100, weight: 5 };
    expect(directStandardisation([young, old])).toEqual({ status: 'notEstimable', reason: 'no time at risk in under 55' });
    expect(estimated(directStandardisation([{ ...young, weight: 0 }, old])).rate).toBe(0.03);
    expect(directStandardisation([])).toEqual({ status: 'notEstimable', reason: 'the standard case mix is empty' });
  });
});
