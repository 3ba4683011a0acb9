import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cox } from '@/lib/stats/cox/cox';
import { proportionalHazards, type TimeScale } from '@/lib/stats/cox/proportionalHazards';
import { schoenfeldResiduals } from '@/lib/stats/cox/schoenfeld';
import { cellsFrom, designFrom, estimated, oneColumn, oneEach, patients, type Patient } from './designs';
import { dataSet1 } from './printed';
import { cellsOf } from './rows';

const scales: TimeScale[] = ['km', 'identity', 'rank', 'log'];

describe('test of proportional hazards', () => {
  // Therneau & Grambsch 2000, appendix E, data set 1, Efron, g(t) = t; recomputed from the data in print.
  it('data set 1: χ² = .238656', () => {
    const { terms, global } = proportionalHazards(estimated(cox(cellsOf(dataSet1), oneColumn(dataSet1.x))), 'identity');
    expect(estimated(terms[0]!.test).chisq).toBeCloseTo(0.238656, 6);
    expect(estimated(global)).toEqual(estimated(terms[0]!.test));
  });

  it('a hazard ratio that turns round in the middle is found, with the columns of a factor as one term', () => {
    // keeled are revised early, pegged late; metal-backed like pegged
    const exit = Array.from({ length: 60 }, (_, i) => i + 1), keeled = exit.map((t) => Number(t <= 30 ? t % 3 !== 0 : t % 6 === 0)), metal = exit.map((t) => Number(t % 12 === 1 && keeled[t - 1] === 0));
    const design = { names: ['keeled', 'metal'], values: Float64Array.from(exit.flatMap((_, i) => [keeled[i]!, metal[i]!])), pattern: Int32Array.from(exit, (_, i) => i) };
    const fit = estimated(cox(cellsOf({ exit, event: exit.map(() => 1) }), design));
    const { terms, global } = proportionalHazards(fit, 'km', [{ name: 'design', columns: [0, 1] }]);
    expect(terms).toEqual([{ name: 'design', test: global }]);
    const { df, p } = estimated(global);
    expect(df).toBe(2);
    expect(p).toBeLessThan(0.05);
  });

  it('revisions on one day only say nothing about time', () => {
    const fit = estimated(cox(cellsOf({ exit: [3, 3, 3, 9, 9], event: [1, 1, 1, 0, 0] }), oneColumn([1, 0, 1, 0, 1])));
    expect(proportionalHazards(fit).global).toEqual({ status: 'notEstimable', reason: 'revisions at too few different times' });
  });

  it('day 0 has no logarithm', () => {
    const fit = estimated(cox(cellsOf({ exit: [0, 3, 4, 9, 9], event: [1, 1, 1, 0, 0] }), oneColumn([1, 0, 1, 0, 1])));
    expect(proportionalHazards(fit, 'log').terms[0]!.test).toEqual({ status: 'notEstimable', reason: 'a revision at time 0 has no logarithm' });
    expect(proportionalHazards(fit, 'rank').global.status).toBe('ok');
  });

  it('a term without an estimate is not tested, and the others are', () => {
    const exit = Array.from({ length: 12 }, (_, i) => i + 1), male = exit.map((t) => Number([1, 2, 4, 7, 8, 11].includes(t)));
    const design = { names: ['male', 'same'], values: Float64Array.from(male.flatMap((m) => [m, 1])), pattern: Int32Array.from(exit, (_, i) => i) };
    const { terms, global } = proportionalHazards(estimated(cox(cellsOf({ exit, event: exit.map(() => 1) }), design)));
    expect(terms[1]!.test).toEqual({ status: 'notEstimable', reason: 'no coefficient of this term can be estimated' });
    expect(global).toEqual(terms[0]!.test);
  });
});

describe('test of proportional hazards, laws', () => {
  const fitOf = (list: readonly Patient[]) => cox(cellsFrom(list), designFrom(list));

  it('counted cells are their procedures one by one, on every scale of time', () => {
    fc.assert(fc.property(patients(), fc.constantFrom(...scales), (list, scale) => {
      const fit = fitOf(list), each = fitOf(oneEach(list));
      if (fit.status !== 'ok' || each.status !== 'ok' || fit.notEstimable.some((m) => m !== null)) return;
      const [a, b] = [proportionalHazards(fit, scale).global, proportionalHazards(each, scale).global];
      expect(b.status).toBe(a.status);
      if (a.status === 'ok' && b.status === 'ok') expect(Math.abs(a.chisq - b.chisq)).toBeLessThan(1e-6 * (1 + a.chisq));
    }));
  });

  it('Schoenfeld residuals sum to 0, and their scaled means to the coefficients', () => {
    fc.assert(fc.property(patients(), (list) => {
      const fit = fitOf(list);
      if (fit.status !== 'ok' || fit.notEstimable.some((m) => m !== null)) return;
      const { count, residual, scaled } = schoenfeldResiduals(fit);
      for (const j of [0, 1]) {
        const total = (of: Float64Array) => count.reduce((sum, n, row) => sum + n * of[row * 2 + j]!, 0);
        expect(total(residual)).toBeCloseTo(0, 6);
        expect(Math.abs(total(scaled) / fit.events - fit.coefficient[j]!)).toBeLessThan(1e-6 * (1 + Math.abs(fit.coefficient[j]!)));
      }
    }));
  });
});
