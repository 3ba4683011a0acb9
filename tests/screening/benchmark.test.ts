import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { benchmarkVerdict, type Verdict } from '@/lib/screening/benchmark/benchmarkVerdict';
import { contributing } from '@/lib/screening/benchmark/contributing';
import { proceduresNeeded } from '@/lib/screening/benchmark/proceduresNeeded';
import { percentAt, type PercentAtTime } from '@/lib/stats/cumulativePercentRevision';
import { normalUpperTail } from '@/lib/stats/distributions/normal';
import { eventTable, numberAtRisk } from '@/lib/stats/eventTable';
import { kaplanMeier } from '@/lib/stats/kaplanMeier';
import { stopOf } from '@/lib/stats/stopRule';
import { estimated } from '../stats/designs';
import { cellsOf, cellsOfProcedures, groupOf, procedures } from '../stats/rows';

const interval = (lower: number, upper: number): PercentAtTime => ({
  time: 3653, atRisk: 400, events: 30,
  estimate: { status: 'ok', percent: (lower + upper) / 2, standardError: 0.01, lower, upper, noEvents: false },
});

describe('against a benchmark of 5 % at ten years with a margin of one point', () => {
  it.each<{ limits: [number, number]; verdict: Verdict }>([
    { limits: [2.1, 4.9], verdict: 'superior' },
    { limits: [3.8, 5], verdict: 'notInferior' }, // touching the benchmark is not below it
    { limits: [4.2, 5.7], verdict: 'notInferior' },
    { limits: [5.2, 5.8], verdict: 'inferiorWithinMargin' },
    { limits: [5.2, 6.9], verdict: 'inferior' },
    { limits: [6, 8.3], verdict: 'inferior' },
    { limits: [6.4, 8.3], verdict: 'inferiorBeyondMargin' },
    { limits: [3.9, 6.6], verdict: 'cannotSayYet' },
    { limits: [5, 6], verdict: 'cannotSayYet' },
  ])('limits $limits: $verdict', ({ limits: [lower, upper], verdict }) => {
    expect(estimated(benchmarkVerdict(interval(lower, upper), { percent: 5, margin: 1 })).verdict).toBe(verdict);
  });

  it('too few still at risk at ten years: no verdict', () => {
    const km = kaplanMeier(eventTable(cellsOf({ exit: [400, 900, 2000, 4000], event: [1, 0, 0, 0], count: [3, 60, 80, 12] })));
    const at = percentAt(km, stopOf(km, { largestStep: 0.02, minAtRisk: 0 }), 3653);
    expect(benchmarkVerdict(at, { percent: 5, margin: 1 })).toEqual({ status: 'notEstimable', reason: 'too few at risk (n = 12)' });
  });

  it('no revision among 800 followed to ten years is superior by the exact limit, among 40 it cannot be said', () => {
    const verdict = (count: number) => {
      const km = kaplanMeier(eventTable(cellsOf({ exit: [4000], event: [0], count: [count] })));
      return estimated(benchmarkVerdict(percentAt(km, stopOf(km, { largestStep: 0, minAtRisk: 0 }), 3653), { percent: 5, margin: 1 })).verdict;
    };
    expect([verdict(800), verdict(40)]).toEqual(['superior', 'cannotSayYet']);
  });

  it('an estimate without limits gives no verdict; a benchmark that is none is refused', () => {
    expect(benchmarkVerdict(interval(NaN, NaN), { percent: 5, margin: 1 })).toEqual({ status: 'notEstimable', reason: 'the percent has no limits' });
    expect(() => benchmarkVerdict(interval(1, 2), { percent: 0, margin: 1 })).toThrow('percent must be above 0 and below 100: 0');
    expect(() => benchmarkVerdict(interval(1, 2), { percent: 5, margin: -1 })).toThrow('margin must be at least 0: -1');
  });

  it('a narrower interval around the same middle never turns a statement into its opposite', () => {
    const good = new Set<Verdict>(['superior', 'notInferior']), bad = new Set<Verdict>(['inferior', 'inferiorBeyondMargin', 'inferiorWithinMargin']);
    const percent = fc.double({ min: 0.1, max: 20, noNaN: true });
    fc.assert(fc.property(percent, percent, fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 3, noNaN: true }), (middle, half, share, margin) => {
      const of = (h: number) => estimated(benchmarkVerdict(interval(middle - h, middle + h), { percent: 5, margin })).verdict;
      const wide = of(half), narrow = of(half * share);
      if (wide === 'superior') expect(narrow).toBe('superior');
      if (wide === 'notInferior') expect(good.has(narrow) || narrow === 'inferiorWithinMargin').toBe(true);
      if (bad.has(wide)) expect(bad.has(narrow)).toBe(true);
    }));
  });
});

describe('who contributes', () => {
  it('at ten years one of three hospitals is left', () => {
    const cells = cellsOf({ exit: [4000, 4000, 1200, 3652, 3000], event: [0, 0, 0, 1, 0], count: [30, 10, 50, 1, 9] });
    const hospital = Int32Array.of(0, 1, 2, 1, 1);
    expect(contributing(cells, hospital, 3653)).toEqual({ hospitals: 3, hospitalsAtRisk: 2, atRisk: 40, largestShare: 0.75 });
    expect(contributing(cells, hospital, 5000)).toEqual({ hospitals: 3, hospitalsAtRisk: 0, atRisk: 0, largestShare: NaN });
  });

  it('counts as many at risk as the number at risk says', () => {
    fc.assert(fc.property(procedures({ groups: 4 }), fc.integer({ min: 1, max: 12 }), (list, time) => {
      const cells = cellsOfProcedures(list);
      expect(contributing(cells, groupOf(list), time).atRisk).toBe(numberAtRisk(eventTable(cells), time));
    }));
  });
});

describe('procedures needed to show that a benchmark is met within its margin', () => {
  it('5 % with one point of margin: (1.96 + 0.84)² 0.05 · 0.95 / 0.01² = 3728.2', () => {
    expect(proceduresNeeded({ percent: 5, margin: 1 })).toBe(3729);
  });

  it('fewer where the implant is truly better, none are enough where it is truly at the bound', () => {
    expect(proceduresNeeded({ percent: 5, margin: 1 }, { truePercent: 4 })).toBeLessThan(3729 / 4);
    expect(proceduresNeeded({ percent: 5, margin: 1 }, { truePercent: 6 })).toBe(Infinity);
    expect(proceduresNeeded({ percent: 5, margin: 0 })).toBe(Infinity);
    expect(() => proceduresNeeded({ percent: 5, margin: 1 }, { truePercent: 0 })).toThrow('truePercent must be above 0 and below 100: 0');
  });

  it('with that many, the power is what was asked for', () => {
    fc.assert(fc.property(fc.double({ min: 1, max: 20, noNaN: true }), fc.double({ min: 0.5, max: 5, noNaN: true }), fc.constantFrom(0.6, 0.8, 0.9), (percent, margin, power) => {
      const p = percent / 100, n = proceduresNeeded({ percent, margin }, { power });
      const reached = (procedures: number) => 1 - normalUpperTail((margin / 100) * Math.sqrt(procedures / (p * (1 - p))) - 1.959963984540054);
      expect(reached(n)).toBeGreaterThanOrEqual(power - 1e-9);
      expect(reached(n - 1)).toBeLessThan(power + 1e-9);
    }));
  });
});
