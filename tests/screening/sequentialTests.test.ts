import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { maxSprt } from '@/lib/screening/monitoring/maxSprt';
import { maxSprtCriticalValue, maxSprtEvidence, maxSprtSignalChance } from '@/lib/screening/monitoring/maxSprtBoundary';
import { sprt } from '@/lib/screening/monitoring/sprt';
import { randomSource } from '@/lib/screening/randomSource';
import { gammaTails } from '@/lib/stats/distributions/incompleteGamma';
import { expectClose } from '../reference/closeTo';
import { estimated } from '../stats/designs';

const columns = (steps: readonly (readonly [number, number])[]) => [Float64Array.from(steps, ([o]) => o), Float64Array.from(steps, ([, e]) => e)] as const;
const critical = (planned: number, fewest = 1, alpha = 0.05) => {
  const found = maxSprtCriticalValue({ planned, fewest }, alpha);
  if (found.status !== 'ok') throw new Error(found.reason);
  return found.value;
};

describe('sequential probability ratio test', () => {
  // Spiegelhalter et al. 2003, Int J Qual Health Care 15:7 (from memory): errors of 1 % give bounds of ±4.6
  it('in print: bounds of ±4.6 for errors of 1 %', () => {
    const { upper, lower } = sprt(...columns([[0, 1]]), { ratio: 2 });
    expect([upper.toFixed(3), lower.toFixed(3)]).toEqual(['4.595', '-4.595']);
  });

  it('evidence for a doubling after 10 revisions with 3 expected: 10 ln 2 − 3', () => {
    const { value, decision } = sprt(...columns([[4, 1], [6, 2], [0, 0.5]]), { ratio: 2 });
    expectClose(value, [4 * Math.LN2 - 1, 10 * Math.LN2 - 3, 10 * Math.LN2 - 3.5], 1e-12);
    expect(decision).toBeNull();
  });

  it('decides for the doubling, or that risk is as expected, and stays with it', () => {
    expect(sprt(...columns([[5, 1], [6, 1], [0, 20]]), { ratio: 2 }).decision).toEqual({ step: 1, side: 'higher' });
    expect(sprt(...columns([[1, 3], [0, 3], [30, 1]]), { ratio: 2 }).decision).toEqual({ step: 1, side: 'asExpected' });
  });

  it('smaller errors never decide sooner', () => {
    const steps = fc.array(fc.tuple(fc.integer({ min: 0, max: 4 }), fc.double({ min: 0, max: 3, noNaN: true })), { minLength: 1, maxLength: 50 });
    fc.assert(fc.property(steps, (list) => {
      const step = (error: number) => sprt(...columns(list), { ratio: 2, alpha: error, beta: error }).decision?.step ?? Infinity;
      expect(step(0.05)).toBeLessThanOrEqual(step(0.01));
    }));
  });

  it('errors that leave nothing to decide are refused', () => {
    expect(() => sprt(...columns([[1, 1]]), { ratio: 2, alpha: 0.6, beta: 0.4 })).toThrow('alpha and beta must be above 0 and their sum below 1: 0.6 and 0.4');
  });
});

describe('maximised sequential probability ratio test', () => {
  // Kulldorff et al. 2011, Seq Anal 30:58, Table 1: critical values (compared with open copies of the table)
  it.each([
    { alpha: 0.05, values: { 0.1: 2.044069, 0.5: 2.637928, 1: 2.853937, 2: 3.046977, 5: 3.297183, 10: 3.467952, 20: 3.628123, 50: 3.819903, 100: 3.952321 } },
    { alpha: 0.01, values: { 0.1: 4.119293, 1: 4.670428, 5: 5.091907, 20: 5.41477 } },
    { alpha: 0.001, values: { 0.1: 6.579669, 1: 7.172614, 5: 7.569312, 20: 7.877573 } },
  ])('in print: critical values for a false signal of $alpha', ({ alpha, values }) => {
    for (const [planned, printed] of Object.entries(values)) expect(critical(Number(planned), 1, alpha).toFixed(6)).toBe(printed.toFixed(6));
  });

  // Kulldorff & Silva 2017, REVSTAT 15:373: no signal before so many revisions, a chance of 0.05 (compared with open copies of the values)
  it.each([
    { planned: 1, values: { 2: 2.366638, 3: 1.774218 } },
    { planned: 2, values: { 2: 2.689354, 3: 2.349679, 4: 2.000158 } },
    { planned: 10, values: { 2: 3.238009, 3: 3.064248, 4: 2.921561, 6: 2.690586, 10: 2.281441 } },
  ])('in print: critical values where a few revisions are no signal, $planned expected', ({ planned, values }) => {
    for (const [fewest, printed] of Object.entries(values)) expect(critical(planned, Number(fewest)).toFixed(6)).toBe(printed.toFixed(6));
  });

  // Kulldorff et al. 2011, Table 2: power of the 0.05 test
  it.each([[1, 2, '0.185'], [1, 5, '0.729'], [5, 2, '0.447'], [5, 3, '0.876'], [10, 2, '0.685'], [20, 1.5, '0.450'], [20, 2, '0.921'], [50, 1.5, '0.803']])(
    'in print: with %d expected a ratio of %d is seen with a chance of %s', (planned, ratio, printed) => {
      expect(maxSprtSignalChance(critical(planned), { planned, fewest: 1 }, ratio).toFixed(3)).toBe(printed);
    });

  it('the evidence: 0 up to what is expected, then O ln(O/E) − (O − E)', () => {
    expect(maxSprtEvidence(3, 3)).toBe(0);
    expect(maxSprtEvidence(0, 0)).toBe(0);
    expect(maxSprtEvidence(2, 4)).toBe(0);
    expect(maxSprtEvidence(6, 2)).toBeCloseTo(6 * Math.log(3) - 4, 12);
  });

  it('a component with 7 revisions where 1.5 were expected signals; one with 2 where 1.5 were does not', () => {
    const watch = { planned: 5, fewest: 2 };
    const seen = estimated(maxSprt(...columns([[2, 0.5], [2, 0.5], [3, 0.5], [0, 0.5]]), watch));
    expectClose(seen.value, [2 * Math.log(4) - 1.5, 4 * Math.log(4) - 3, 7 * Math.log(7 / 1.5) - 5.5, 7 * Math.log(3.5) - 5], 1e-12);
    expect(seen).toMatchObject({ signal: 2, ended: null });
    expect(estimated(maxSprt(...columns([[1, 0.5], [0, 0.5], [1, 0.5]]), watch)).signal).toBeNull();
  });

  it('the watch ends when as many are expected as planned, and nothing later is a signal', () => {
    const found = estimated(maxSprt(...columns([[1, 1], [1, 1], [20, 0.5]]), { planned: 2, fewest: 2 }));
    expect(found).toMatchObject({ signal: null, ended: 1 });
    expect(found.value[2]).toBeGreaterThan(found.criticalValue);
  });

  it('a first revision on the first day is a signal only where a single one may be', () => {
    const early = columns([[1, 0.001]]);
    expect(estimated(maxSprt(...early, { planned: 5, fewest: 1 })).signal).toBe(0);
    expect(estimated(maxSprt(...early, { planned: 5, fewest: 2 })).signal).toBeNull();
  });

  it('so few expected that a revision at all is rarer than the chance of a false signal', () => {
    expect(maxSprt(...columns([[0, 0.01]]), { planned: 0.04, fewest: 1 })).toEqual({
      status: 'notEstimable', reason: 'so few revisions are expected (0.04) that 1 or more come by chance less often than a false signal is allowed to',
    });
  });

  it('a plan that is none is refused', () => {
    expect(() => critical(0)).toThrow('planned must be a finite number above 0: 0');
    expect(() => critical(1, 0.5)).toThrow('fewest must be a whole number of at least 1: 0.5');
    expect(() => critical(1, 1, 1)).toThrow('alpha must be above 0 and below 1: 1');
    expect(() => maxSprt(new Float64Array(1), new Float64Array(2), { planned: 1, fewest: 1 })).toThrow('expected must have one entry per step (1): 2');
  });

  it('the chance of a signal falls with the critical value and rises with the risk, and simulated revisions agree with it', () => {
    fc.assert(fc.property(fc.double({ min: 0.2, max: 25, noNaN: true }), fc.integer({ min: 1, max: 5 }), fc.double({ min: 0.5, max: 4, noNaN: true }), (planned, fewest, value) => {
      const chance = (v: number, ratio = 1) => maxSprtSignalChance(v, { planned, fewest }, ratio);
      expect(chance(value + 0.5)).toBeLessThanOrEqual(chance(value) + 1e-12);
      expect(chance(value, 1.5)).toBeGreaterThan(chance(value));
      expect(chance(value)).toBeLessThanOrEqual(gammaTails(fewest, planned).lower + 1e-12); // so many revisions at all
    }));
    const uniform = randomSource(4), planned = 6, value = 2.5, histories = 20_000;
    let signals = 0;
    for (let k = 0; k < histories; ++k) {
      for (let n = 1, at = -Math.log1p(-uniform()); at < planned; ++n, at -= Math.log1p(-uniform())) {
        if (n < 3 || maxSprtEvidence(n, at) < value) continue;
        ++signals;
        break;
      }
    }
    const exact = maxSprtSignalChance(value, { planned, fewest: 3 });
    expect(Math.abs(signals / histories - exact)).toBeLessThan(4 * Math.sqrt((exact * (1 - exact)) / histories));
  });
});
