import { describe, expect, it } from 'vitest';
import { gee } from '@/lib/stats/regression/gee';
import { leastSquares } from '@/lib/stats/regression/leastSquares';
import { proportionalOdds } from '@/lib/stats/regression/proportionalOdds';

const own = (n: number) => Int32Array.from({ length: n }, (_, i) => i);

describe('least squares', () => {
  it('leaves out a column that others determine, and says nothing of it', () => {
    const fit = leastSquares(Float64Array.of(1, 2, 3, 5, 8), { names: ['a', 'twice'], values: Float64Array.of(0, 0, 1, 2, 2, 4, 3, 6, 5, 10) });
    if (fit.status !== 'ok') throw new Error(fit.reason);
    expect(Number.isNaN(fit.coefficient[2]!)).toBe(true);
    expect(Number.isFinite(fit.coefficient[1]!)).toBe(true);
  });
  it('has no estimate with too few values, or one cluster', () => {
    expect(leastSquares(Float64Array.of(1, 2), { names: ['a'], values: Float64Array.of(0, 1) }).status).toBe('notEstimable');
    expect(leastSquares(Float64Array.of(1, 2, 4, 4), { names: ['a'], values: Float64Array.of(0, 1, 0, 1), cluster: new Int32Array(4) }).status).toBe('notEstimable');
  });
});

describe('generalised estimating equations', () => {
  it('are the group means where every patient comes once', () => {
    const fit = gee(Float64Array.of(1, 3, 5, 9, 11), { names: ['b'], values: Float64Array.of(0, 0, 0, 1, 1), cluster: own(5) }, 'identity');
    if (fit.status !== 'ok') throw new Error(fit.reason);
    expect([...fit.coefficient]).toEqual([expect.closeTo(3, 10), expect.closeTo(7, 10)]);
    expect(fit.correlation).toBe(0);
  });
  it('have no odds ratio where a group never has the sign', () => {
    const fit = gee(Float64Array.of(0, 0, 0, 0, 1, 0, 1, 1), { names: ['b'], values: Float64Array.of(0, 0, 0, 0, 1, 1, 1, 1), cluster: own(8) }, 'logit');
    expect(fit.status).toBe('notEstimable');
  });
});

describe('proportional odds', () => {
  it('has no ratio where the grade tells the groups apart, and none for a grade that nobody has', () => {
    const x = { names: ['b'], values: Float64Array.of(0, 0, 0, 1, 1, 1) };
    expect(proportionalOdds(Int32Array.of(0, 0, 0, 1, 1, 2), x, 3).status).toBe('notEstimable');
    expect(proportionalOdds(Int32Array.of(0, 2, 0, 2, 0, 2), x, 3)).toEqual({ status: 'notEstimable', reason: 'a grade that nobody has' });
  });
});
