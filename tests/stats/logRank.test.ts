import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cox } from '@/lib/stats/cox/cox';
import { logRank } from '@/lib/stats/logRank';
import { estimated, oneColumn } from './designs';
import { arms, maintained, mercaptopurine, notMaintained, placebo } from './printed';
import { cellsOf, cellsOfProcedures, groupOf, oneByOne, procedures, type Procedure } from './rows';

describe('log-rank test against print', () => {
  // Kleinbaum & Klein 2012, Survival Analysis, ch. 2: χ² = 16.79, expected 19.25 and 10.75.
  it('6-MP against placebo', () => {
    const { group, ...rows } = arms(mercaptopurine, placebo);
    const { chisq, df, p, observed, expected, variance } = estimated(logRank(cellsOf(rows), group, 2));
    expect(chisq).toBeCloseTo(16.79, 2);
    expect(df).toBe(1);
    expect(p).toBeLessThan(0.0001);
    expect(Array.from(observed)).toEqual([9, 21]);
    expect(Array.from(expected).map((e) => e.toFixed(2))).toEqual(['19.25', '10.75']);
    expect(variance[0]).toBeCloseTo(6.257, 3); // recomputed, not in print
  });

  // Miller 1981; χ² recomputed from the data in print.
  it('maintenance in acute myeloid leukaemia', () => {
    const { group, ...rows } = arms(maintained, notMaintained);
    const { chisq, p } = estimated(logRank(cellsOf(rows), group, 2));
    expect(chisq).toBeCloseTo(3.396, 3);
    expect(p).toBeCloseTo(0.0653, 4);
  });
});

describe('log-rank test without an answer', () => {
  const groups = Int32Array.of(0, 0, 1, 1);
  it.each([
    ['no revisions at all', { exit: [1, 2, 3, 4], event: [0, 0, 2, 0] }, groups, 'no revisions'],
    ['one group empty', { exit: [1, 2, 3, 4], event: [1, 1, 1, 0] }, new Int32Array(4), 'at every revision only one group was at risk'],
    ['the last revision of a sole survivor', { exit: [1, 1, 1, 9], event: [0, 0, 0, 1] }, groups, 'at every revision only one group was at risk'],
    ['groups that lie in different strata', { exit: [1, 2, 3, 4], event: [1, 1, 1, 1], stratum: [0, 0, 1, 1] }, groups, 'some groups were never at risk at the same time as others'],
  ])('%s', (_, rows, group, reason) => { expect(logRank(cellsOf(rows), group, 2)).toEqual({ status: 'notEstimable', reason }); });

  // Mantel 1966: a risk set adds d m₁ m₂ (n − d)/n²(n − 1), which is 0 where it holds one group alone.
  it.each([
    { story: 'the old design all lost before those of the new one came under observation', entry: [-Infinity, -Infinity, 100, 100], exit: [100, 100, 200, 200] },
    { story: 'the same among three designs, one of which is never used', entry: [-Infinity, -Infinity, 100, 100], exit: [100, 100, 200, 200], last: 2 },
  ])('$story: nothing to compare, and not a p-value of 1', ({ entry, exit, last = 1 }) => {
    const cells = cellsOf({ entry, exit, event: [1, 0, 1, 0], count: [4, 8, 1, 1] });
    expect(logRank(cells, Int32Array.of(last, last, 0, 0), last + 1)).toEqual({ status: 'notEstimable', reason: 'some groups were never at risk at the same time as others' });
  });

  it('all revised on the day of surgery: the one risk set tells nothing', () => {
    expect(logRank(cellsOf({ exit: [0, 0, 0, 0], event: [1, 1, 1, 1] }), groups, 2).status).toBe('notEstimable');
  });
});

/** The sums of Mantel 1966, Cancer Chemother Rep 50:163, from one row per procedure. */
function slowly(list: readonly Procedure[]): { observed: number; expected: number; variance: number } {
  const at = (t: number) => list.filter((p) => p.entry < t && p.exit >= t), sum = { observed: 0, expected: 0, variance: 0 };
  for (const t of new Set(list.filter((p) => p.event === 1).map((p) => p.exit))) {
    const n = at(t).length, n1 = at(t).filter((p) => p.group === 1).length;
    const tied = list.filter((p) => p.exit === t && p.event === 1), d = tied.length;
    sum.observed += tied.filter((p) => p.group === 1).length;
    sum.expected += (d * n1) / n;
    if (n > 1) sum.variance += (d * n1 * (n - n1) * (n - d)) / (n * n * (n - 1));
  }
  return sum;
}

describe('log-rank test, laws', () => {
  it('agrees with the sums one procedure at a time, with delayed entry', () => {
    fc.assert(fc.property(procedures(), (list) => {
      const { observed, expected, variance } = slowly(oneByOne(list)), result = logRank(cellsOfProcedures(list), groupOf(list), 2);
      if (result.status !== 'ok') { expect(variance).toBeCloseTo(0, 9); return; }
      expect(result.observed[1]).toBe(observed);
      expect(result.expected[1]).toBeCloseTo(expected, 9);
      expect(result.variance[3]).toBeCloseTo(variance, 9);
      expect(result.chisq).toBeCloseTo((observed - expected) ** 2 / variance, 7);
    }));
  });

  it('is the score test of Cox regression where no revisions tie', () => {
    fc.assert(fc.property(fc.uniqueArray(fc.integer({ min: 1, max: 99 }), { minLength: 6, maxLength: 30 }), (exit) => {
      const group = exit.map((_, i) => i % 2), cells = cellsOf({ exit, event: exit.map((t) => (t % 3 === 0 ? 0 : 1)) });
      const fit = cox(cells, oneColumn(group)), test = logRank(cells, Int32Array.from(group), 2);
      if (fit.status !== 'ok' || fit.tests.score.status !== 'ok' || test.status !== 'ok') return;
      expect(test.chisq).toBeCloseTo(fit.tests.score.chisq, 9);
    }));
  });

  it('does not depend on the order of rows, nor on which group is called first', () => {
    fc.assert(fc.property(procedures({ groups: 3 }), (list) => {
      const test = (rows: readonly Procedure[]) => logRank(cellsOfProcedures(rows), groupOf(rows), 3);
      const result = test(list), turned = test(list.map((p) => ({ ...p, group: (p.group + 1) % 3 })).reverse());
      expect(turned.status).toBe(result.status);
      if (result.status === 'ok' && turned.status === 'ok') expect(turned.chisq).toBeCloseTo(result.chisq, 7);
    }));
  });

  it('adds up over strata that are the same: twice the data in two strata is twice the sums', () => {
    fc.assert(fc.property(procedures(), (list) => {
      const twice = { ...cellsOfProcedures([...list, ...list]), stratum: Int32Array.from([...list.map(() => 4), ...list.map(() => -7)]) };
      const result = logRank(cellsOfProcedures(list), groupOf(list), 2), doubled = logRank(twice, groupOf([...list, ...list]), 2);
      expect(doubled.status).toBe(result.status);
      if (result.status === 'ok' && doubled.status === 'ok') expect(doubled.chisq).toBeCloseTo(2 * result.chisq, 7);
    }));
  });
});
