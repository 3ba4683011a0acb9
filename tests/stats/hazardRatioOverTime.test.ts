import { describe, expect, it } from 'vitest';
import type { Design, NotEstimable } from '@/lib/stats/cells';
import { cox } from '@/lib/stats/cox/cox';
import { cutPoints } from '@/lib/stats/cox/cutPoints';
import { piecewiseHazardRatios } from '@/lib/stats/cox/piecewiseHazardRatios';
import { smoothHazardRatio } from '@/lib/stats/cox/smoothHazardRatio';
import { naturalSpline } from '@/lib/stats/naturalSpline';
import { cellsOf, type Rows } from './rows';

function ok<T extends { status: 'ok' }>(result: T | NotEstimable): T {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}
const twoDesigns = (rows: Rows): Design => ({ names: ['new design'], values: Float64Array.from([0, 1]), pattern: Int32Array.from(rows.exit, (_, i) => i % 2) });

/** Early revisions (days 1–20) befall the new design three times as often, late ones (days 21–40) a third as often. */
const turning = ((): Rows => {
  const exit: number[] = [], event: number[] = [], count: number[] = [];
  for (let day = 1; day <= 40; ++day) {
    exit.push(day, day);
    event.push(1, 1);
    count.push(day <= 20 ? 4 : 12, day <= 20 ? 12 : 4);
  }
  return { exit: [...exit, 41, 41], event: [...event, 0, 0], count: [...count, 2000, 2000] };
})();

describe('where the hazard ratio turns', () => {
  it('is found at the day it was planted at, once', () => {
    const { cuts, tried, piecewise, within } = ok(cutPoints(cellsOf(turning), twoDesigns(turning), [0]));
    expect(cuts).toEqual([20]);
    expect(tried.map((t) => t.accepted)).toEqual([true, false]);
    const [early, late] = piecewise.periods.map(({ ratios: [ratio] }) => (ratio?.status === 'ok' ? ratio.ratio : NaN));
    expect(early).toBeCloseTo(3, 0);
    expect(late).toBeCloseTo(1 / 3, 1);
    within.terms.forEach(({ test }) => { expect(ok(test).p).toBeGreaterThan(0.5); });
  });

  it('no more than as many cuts as asked for', () => {
    expect(ok(cutPoints(cellsOf(turning), twoDesigns(turning), [0], { most: 1 })).tried).toHaveLength(1);
    expect(ok(cutPoints(cellsOf(turning), twoDesigns(turning), [0], { most: 0 }))).toMatchObject({ cuts: [], tried: [] });
  });

  it('with too few revisions on either side nothing is tried, and without any there is no answer', () => {
    const few: Rows = { exit: [1, 2, 3, 4, 5, 6], event: [1, 1, 1, 1, 0, 0] };
    expect(ok(cutPoints(cellsOf(few), twoDesigns(few), [0]))).toMatchObject({ cuts: [], tried: [] });
    const none: Rows = { exit: [1, 2], event: [0, 0] };
    expect(cutPoints(cellsOf(none), twoDesigns(none), [0])).toEqual({ status: 'notEstimable', reason: 'no revisions' });
  });
});

it('in a period that the reference group does not reach there is no ratio, nor one against another group in its place', () => {
  const rows: { exit: number; event: number; group: number }[] = [];
  for (let day = 1; day <= 40; ++day) for (const group of day <= 15 ? [0, 1, 2] : [1, 2]) rows.push({ exit: day, event: Number(day % (group + 2) === 0), group });
  const three: Design = { names: ['second design', 'third design'], values: Float64Array.from([0, 0, 1, 0, 0, 1]), pattern: Int32Array.from(rows, (r) => r.group) };
  const { periods: [early, late] } = ok(piecewiseHazardRatios(cellsOf({ exit: rows.map((r) => r.exit), event: rows.map((r) => r.event) }), three, [0, 1], [20]));
  expect(early!.ratios.map((r) => r.status)).toEqual(['ok', 'ok']);
  expect(late!.ratios).toEqual(three.names.map((name) => ({ status: 'notEstimable', name, reason: 'no revisions in the reference group in this period' })));
});

describe('smooth hazard ratio', () => {
  const fit = ok(cox(cellsOf(turning), twoDesigns(turning)));

  it('falls from above 1 to below where the design does better later, with limits around it', () => {
    const { time, ratio, lower, upper } = ok(smoothHazardRatio(fit, 0, [0, 1, 10, 20, 30, 40, 41]));
    expect(Array.from(time)).toEqual([1, 10, 20, 30, 40]); // nothing is known before the first revision or after the last
    expect(ratio[1]).toBeGreaterThan(1.5);
    expect(ratio[3]).toBeLessThan(1 / 1.5);
    ratio.forEach((r, k) => { expect(lower[k]! < r && r < upper[k]!).toBe(true); });
  });

  it.each([
    { story: 'all revisions on three days', rows: { exit: [1, 1, 2, 2, 3, 3, 4, 4], event: [1, 1, 1, 1, 1, 1, 0, 0] }, reason: 'revisions at too few different times' },
    { story: 'no revision of the new design', rows: { exit: [1, 2, 3, 4, 5, 6], event: [1, 0, 1, 0, 1, 0] }, reason: 'no revisions among the 3 procedures with new design' },
  ])('$story: no curve', ({ rows, reason }) => {
    expect(smoothHazardRatio(ok(cox(cellsOf(rows), twoDesigns(rows))), 0, [2])).toMatchObject({ status: 'notEstimable', reason });
  });
});

it('natural splines are straight beyond the outer knots and smooth at the inner ones', () => {
  const basis = naturalSpline(Float64Array.from([2, 3, 5, 9]));
  const second = (x: number, h: number) => basis(x + h).map((v, k) => (v - 2 * basis(x)[k]! + basis(x - h)[k]!) / h ** 2);
  for (const x of [0, 1, 10, 20]) second(x, 0.5).forEach((v) => { expect(v).toBeCloseTo(0, 9); });
  for (const knot of [3, 5]) second(knot - 1e-3, 1e-4).forEach((v, k) => { expect(v).toBeCloseTo(second(knot + 1e-3, 1e-4)[k]!, 2); });
});
