import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { calendarIncrements } from '@/lib/screening/monitoring/calendarIncrements';
import { cusum } from '@/lib/screening/monitoring/cusum';
import { hazardThreshold, outcomeThreshold, type CusumThreshold } from '@/lib/screening/monitoring/cusumThreshold';
import { hazardWeights, outcomeWeight } from '@/lib/screening/monitoring/weights';
import { expectedRevisions } from '@/lib/screening/standardisation/expectedRevisions';
import { referenceHazard, type ReferenceHazard } from '@/lib/screening/standardisation/referenceHazard';
import type { Design, NotEstimable } from '@/lib/stats/cells';
import { cox } from '@/lib/stats/cox/cox';
import { expectClose } from '../reference/closeTo';
import { cellsFrom, designFrom, estimated, oneColumn, patients, type Patient } from '../stats/designs';
import { cellsOf, fixture } from '../stats/rows';

interface Chain { readonly steps: number; readonly unit: number; readonly thresholds: number[]; readonly falseAlarm: number[]; readonly detection: number[] }
const [months, procedures] = (fixture('cusum') as { cases: [Chain & { expected: number }, Chain & { probability: number }] }).cases;
const noCovariates: Design = { names: [], values: new Float64Array(0), pattern: new Int32Array(0) };

describe('evidence of one procedure', () => {
  // Steiner et al. 2000, Biostatistics 1:441, p. 446: mortality after cardiac surgery, logit p = −3.68 + 0.077 × Parsonnet score, odds doubled
  it.each([{ score: 0, died: '0.67', survived: '-0.024' }, { score: 50, died: '0.26', survived: '-0.43' }])('in print: score $score', ({ score, died, survived }) => {
    const p = 1 / (1 + Math.exp(3.68 - 0.077 * score));
    expect(outcomeWeight(true, p, 2).toFixed(2)).toBe(died);
    expect(outcomeWeight(false, p, 2).toFixed(survived.length - 3)).toBe(survived);
  });

  it('is the logarithm of the ratio of likelihoods', () => {
    const p = fc.double({ min: 0.001, max: 0.999, noNaN: true });
    fc.assert(fc.property(p, fc.double({ min: 1.01, max: 10, noNaN: true }), (usual, ratio) => {
      const odds = (ratio * usual) / (1 - usual), raised = odds / (1 + odds);
      expect(outcomeWeight(true, usual, ratio)).toBeCloseTo(Math.log(raised / usual), 9);
      expect(outcomeWeight(false, usual, ratio)).toBeCloseTo(Math.log((1 - raised) / (1 - usual)), 9);
    }));
  });

  it('refuses a ratio that is no higher risk and a risk that is none', () => {
    expect(() => outcomeWeight(true, 0.1, 1)).toThrow('ratio must be above 1: 1');
    expect(() => outcomeWeight(true, 0, 2)).toThrow('probability must be above 0 and below 1: 0');
    expect(() => hazardWeights(new Float64Array(2), new Float64Array(3), 2)).toThrow('expected must have one entry per step (2): 3');
  });
});

describe('the chart', () => {
  const weight = [0.6, -0.1, 0.6, 0.6, -0.2, -0.9, 0.6, 0.6, 0.6];

  it('signals where it first goes above the threshold and starts again from 0 after it', () => {
    const { value, signals, resets } = cusum(weight, 1.5);
    expectClose(value, [0.6, 0.5, 1.1, 1.7, 0, 0, 0.6, 1.2, 1.8], 1e-12);
    expect({ signals, resets }).toEqual({ signals: [3, 8], resets: [4] });
  });

  it('or goes on, its signal standing, until the review is closed', () => {
    const { value, signals, resets } = cusum(weight, 1.5, [6]);
    expectClose(value, [0.6, 0.5, 1.1, 1.7, 1.5, 0.6, 0.6, 1.2, 1.8], 1e-12);
    expect({ signals, resets }).toEqual({ signals: [3, 8], resets: [6] });
  });

  it('on the threshold is no signal yet; a threshold of none is refused', () => {
    expect(cusum([1, 0.5], 1.5).signals).toEqual([]);
    expect(() => cusum([1], 0)).toThrow('threshold must be above 0: 0');
  });

  it('never falls below 0, and a higher threshold signals no sooner', () => {
    const weights = fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 1, maxLength: 60 }), threshold = fc.double({ min: 0.1, max: 5, noNaN: true });
    fc.assert(fc.property(weights, threshold, threshold, (list, a, b) => {
      const [low, high] = [cusum(list, Math.min(a, b)), cusum(list, Math.max(a, b))];
      low.value.forEach((v) => { expect(v).toBeGreaterThanOrEqual(0); });
      expect(low.signals[0] ?? Infinity).toBeLessThanOrEqual(high.signals[0] ?? Infinity);
    }));
  });
});

describe('day by day in the calendar', () => {
  const reference = (list: readonly Patient[], design: Design): ReferenceHazard | NotEstimable => {
    const fit = cox(cellsFrom(list), design, { ties: 'breslow' });
    return fit.status === 'ok' ? referenceHazard(fit) : fit;
  };

  it('a hospital with two procedures against a hazard of one in four at 100 days and one in two at 300', () => {
    const known = estimated(referenceHazard(estimated(cox(cellsOf({ exit: [100, 200, 300, 400], event: [1, 0, 1, 0], count: [1, 1, 1, 1] }), noCovariates, { ties: 'breslow' }))));
    const own = cellsOf({ exit: [350, 100], event: [0, 1] }), surgery = Int32Array.of(1000, 1150);
    const { observed, expected, firstDay } = calendarIncrements(known, own, noCovariates, surgery, [1100, 1300]);
    const days = (values: Float64Array) => Object.fromEntries([...values.entries()].filter(([, v]) => v !== 0).map(([t, v]) => [t + firstDay, v]));
    expect(days(observed)).toEqual({ 1250: 1 });
    expect(days(expected)).toEqual({ 1100: 0.25, 1250: 0.25, 1300: 0.5 });
    const later = calendarIncrements(known, own, noCovariates, surgery, [1101, 1299]);
    expect([later.expected, later.observed].map((v) => v.reduce((a, b) => a + b, 0))).toEqual([0.25, 1]);
  });

  it('over the whole calendar it adds up to observed and expected of the unit', () => {
    fc.assert(fc.property(patients(), fc.array(fc.integer({ min: -20, max: 20 }), { minLength: 40, maxLength: 40 }), fc.boolean(), (list, when, adjusted) => {
      const design = adjusted ? designFrom(list) : noCovariates, known = reference(list, design);
      if (known.status !== 'ok') return;
      const cells = cellsFrom(list), surgery = Int32Array.from(list, (_, i) => when[i]!);
      const whole = expectedRevisions(known, cells, design), found = calendarIncrements(known, cells, design, surgery, [-20, 40]);
      const sum = (values: Float64Array) => values.reduce((a, b) => a + b, 0);
      expect(sum(found.observed)).toBe(sum(whole.observed));
      expectClose(sum(found.expected), sum(whole.expected), 1e-8);
    }));
  });

  it('procedures unlike any of the reference are counted apart', () => {
    const known = estimated(referenceHazard(estimated(cox(cellsOf({ exit: [5, 9], event: [1, 0] }), oneColumn([0, 0]), { ties: 'breslow' }))));
    expect(calendarIncrements(known, cellsOf({ exit: [9], event: [1], count: [3] }), oneColumn([1]), Int32Array.of(0), [0, 20]).incomparable).toBe(3);
  });

  it('a period that ends before it begins is refused', () => {
    const known = estimated(referenceHazard(estimated(cox(cellsOf({ exit: [5, 9], event: [1, 0] }), noCovariates))));
    expect(() => calendarIncrements(known, cellsOf({ exit: [9], event: [1] }), noCovariates, Int32Array.of(0), [5, 4])).toThrow('the period must not end before it begins (5): 4');
  });
});

describe('thresholds found by simulation', () => {
  const options = { ratio: 2, falseAlarm: 0.05, seed: 1, histories: 20_000 };
  const even = new Float64Array(months.steps).fill(months.expected), alike = Float64Array.of(procedures.probability);

  /** Where every step moves the chart by whole units, R gives the chances exactly (within 4 standard errors of the simulation). */
  function agrees({ threshold, falseAlarm, detection, standardError }: CusumThreshold, { thresholds, unit, falseAlarm: exact, detection: exactDetection }: Chain): void {
    const at = thresholds.indexOf(Math.floor(threshold / unit));
    expect(at).toBeGreaterThan(0);
    expect(Math.abs(falseAlarm - exact[at]!)).toBeLessThan(4 * standardError);
    expect(Math.abs(detection - exactDetection[at]!)).toBeLessThan(4 * Math.sqrt((0.25) / options.histories));
    expect(exact[at]).toBeLessThan(0.05 + 4 * standardError);
    expect(exact[at - 1]).toBeGreaterThan(0.05 - 4 * standardError);
  }

  it('for revisions as they happen, 10 expected in 300 months: as an exact Markov chain', () => { agrees(estimated(hazardThreshold(even, options)), months); });
  it('for outcomes of 600 procedures: as an exact Markov chain', () => { agrees(estimated(outcomeThreshold(alike, procedures.steps, options)), procedures); });

  it('a seed gives the same threshold again', () => {
    const fewer = { ...options, histories: 500 };
    expect(hazardThreshold(even, fewer)).toEqual(hazardThreshold(even, fewer));
    expect(outcomeThreshold(alike, 100, fewer)).toEqual(outcomeThreshold(alike, 100, fewer));
  });

  it('never signals more often than asked; fewer false alarms or more procedures ask for more evidence', () => {
    const of = (falseAlarm: number, times = 1) => estimated(hazardThreshold(even.map((e) => e * times), { ...options, falseAlarm, histories: 4000 }));
    const [strict, usual, more] = [of(0.01), of(0.05), of(0.05, 4)];
    for (const [found, asked] of [[strict, 0.01], [usual, 0.05], [more, 0.05]] as const) expect(found.falseAlarm).toBeLessThanOrEqual(asked);
    expect(strict.threshold).toBeGreaterThan(usual.threshold);
    expect(more.threshold).toBeGreaterThan(usual.threshold);
    expect(more.detection).toBeGreaterThan(usual.detection);
  });

  it('a chart made with it, on revisions that come at twice the rate, signals; on the usual rate it does not', () => {
    const { threshold } = estimated(hazardThreshold(even, options)), every = (steps: number) => even.map((_, t) => Number((t + 1) % steps === 0));
    expect(cusum(hazardWeights(every(14), even, 2), threshold).signals).not.toEqual([]);
    expect(cusum(hazardWeights(every(29), even, 2), threshold).signals).toEqual([]);
  });

  it('a single revision is never a signal, however few are expected', () => {
    const rare = estimated(hazardThreshold(new Float64Array(100).fill(0.0002), { ...options, histories: 2000 }));
    expect(rare.threshold).toBe(Math.LN2);
    expect(cusum(hazardWeights(Float64Array.of(1, 0), Float64Array.of(0, 0), 2), rare.threshold).signals).toEqual([]);
  });

  it('nothing to simulate has no threshold; a chance that is none is refused', () => {
    expect(hazardThreshold(new Float64Array(9), options)).toEqual({ status: 'notEstimable', reason: 'no revisions are expected in the period' });
    expect(outcomeThreshold(new Float64Array(0), 9, options)).toEqual({ status: 'notEstimable', reason: 'no procedures whose case mix could be taken' });
    expect(() => hazardThreshold(even, { ...options, falseAlarm: 0 })).toThrow('falseAlarm must be above 0 and below 1: 0');
    expect(() => hazardThreshold(even, { ...options, ratio: 0.5 })).toThrow('ratio must be above 1: 0.5');
  });
});
