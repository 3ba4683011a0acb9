import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { benjaminiHochberg } from '@/lib/stats/benjaminiHochberg';
import { eValue } from '@/lib/stats/eValue';
import { fixture } from './rows';

const [{ families }, { ratios }] = (fixture('evidence') as {
  cases: [{ families: { p: (number | null)[]; adjusted: (number | null)[] }[] }, { ratios: { hr: number[]; expected: number[] } }, ...object[]];
}).cases;

describe('p-values of a family of tests', () => {
  it.each(families)('as p.adjust: $p.length tests', ({ p, adjusted }) => {
    const found = benjaminiHochberg(p.map((v) => v ?? NaN));
    adjusted.forEach((v, i) => { if (v === null) expect(found[i]).toBeNaN(); else expect(found[i]).toBeCloseTo(v, 12); });
  });

  // Benjamini & Hochberg 1995, J R Stat Soc B 57:289, §4: fifteen comparisons in a trial of thrombolysis, of which four stand at 0.05.
  it('in print: four of fifteen', () => {
    const found = benjaminiHochberg([0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528, 0.759, 1]);
    expect(found.filter((q) => q <= 0.05)).toHaveLength(4);
  });

  it('is never below the p-value nor above 1, keeps their order, and rejects as the step-up rule does', () => {
    fc.assert(fc.property(fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { maxLength: 30 }), fc.double({ min: 0.01, max: 0.5, noNaN: true }), (p, q) => {
      const found = benjaminiHochberg(p), sorted = p.toSorted((a, b) => a - b);
      found.forEach((v, i) => { expect(v).toBeGreaterThanOrEqual(p[i]! * (1 - 1e-12)); expect(v).toBeLessThanOrEqual(1); });
      for (let i = 0; i < p.length; ++i) for (let j = 0; j < p.length; ++j) if (p[i]! < p[j]!) expect(found[i]).toBeLessThanOrEqual(found[j]!);
      const last = sorted.findLastIndex((v, k) => v * p.length <= q * (k + 1));
      if (sorted.every((v, k) => Math.abs(v * p.length - q * (k + 1)) > 1e-9)) expect(found.filter((v) => v <= q)).toHaveLength(last + 1);
    }));
  });
});

describe('strength of an unmeasured confounder', () => {
  // VanderWeele & Ding 2017, Ann Intern Med 167:268: risk ratio 3.9 (1.8 to 8.7) of infant death without breastfeeding.
  it('in print: 7.26, and 3.0 for the limit', () => {
    const { estimate, limit } = eValue({ value: 3.9, lower: 1.8, upper: 8.7 }, 'rare');
    expect(estimate).toBeCloseTo(7.26, 2);
    expect(limit).toBeCloseTo(3, 10);
  });

  it('a common outcome, by its definition', () => {
    ratios.hr.forEach((value, k) => { expect(eValue({ value, lower: value, upper: value }, 'common').estimate).toBeCloseTo(ratios.expected[k]!, 12); });
  });

  it.each([
    { of: 'limits on both sides of 1', ratio: { value: 1.4, lower: 0.9, upper: 2 }, limit: 1 },
    { of: 'protective, limits on both sides', ratio: { value: 0.7, lower: 0.4, upper: 1 }, limit: 1 },
    { of: 'protective', ratio: { value: 0.5, lower: 0.25, upper: 1 / 1.8 }, limit: 3 },
    { of: 'no difference at all', ratio: { value: 1, lower: 0.8, upper: 1.2 }, limit: 1 },
    { of: 'no limit', ratio: { value: 2, lower: NaN, upper: NaN }, limit: NaN },
  ])('the limit nearer to no difference: $of', ({ ratio, limit }) => {
    const found = eValue(ratio, 'rare');
    if (Number.isNaN(limit)) expect(found.limit).toBeNaN();
    else expect(found.limit).toBeCloseTo(limit, 10);
  });

  it('is the same for a ratio and its inverse, and larger the further from 1', () => {
    const ratio = fc.double({ min: 1, max: 50, noNaN: true });
    fc.assert(fc.property(ratio, ratio, fc.constantFrom('rare' as const, 'common' as const), (a, b, frequency) => {
      const of = (value: number) => eValue({ value, lower: value, upper: value }, frequency).estimate;
      expect(of(1 / a)).toBeCloseTo(of(a), 8);
      if (a > b) expect(of(a)).toBeGreaterThanOrEqual(of(b));
    }));
  });

  it('a ratio that is none is refused', () => {
    expect(() => eValue({ value: 0, lower: 0, upper: 1 }, 'rare')).toThrow('ratio must be above 0: 0');
  });
});
