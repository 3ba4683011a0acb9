import { describe, expect, it } from 'vitest';
import { percentAt } from '@/lib/stats/cumulativePercentRevision';
import { eventTable } from '@/lib/stats/eventTable';
import { kaplanMeier } from '@/lib/stats/kaplanMeier';
import { stopOf } from '@/lib/stats/stopRule';
import { mercaptopurine } from './printed';
import { cellsOf } from './rows';

const curveOf = (rows: Parameters<typeof cellsOf>[0]) => kaplanMeier(eventTable(cellsOf(rows)));
const twoPoints = { largestStep: 0.02, minAtRisk: 0 };

// One more revision among n lowers S by S/n, so a step of at most 2 points asks for n ≥ 50 S: Pocock et al. 2002, Lancet 359:1686.
describe('where a curve stops', () => {
  const years = { exit: [1, 2, 3, 4], event: [0, 0, 0, 0] };

  it.each([
    ['60 at risk without a revision go on', { ...years, count: [10, 10, 10, 60] }, { time: 4, atRisk: 60, stopped: false }],
    ['exactly 50 are enough', { ...years, count: [10, 10, 10, 50] }, { time: 4, atRisk: 50, stopped: false }],
    ['49 are not', { ...years, count: [10, 10, 10, 49] }, { time: 3, atRisk: 59, stopped: true }],
    ['with 10 % revised 45 are enough', { exit: [1, 2, 3], event: [1, 0, 0], count: [10, 45, 45] }, { time: 3, atRisk: 45, stopped: false }],
    ['with 10 % revised 44 are not', { exit: [1, 2, 3], event: [1, 0, 0], count: [10, 46, 44] }, { time: 2, atRisk: 90, stopped: true }],
    ['thirty procedures have no curve', { exit: [1, 2], event: [1, 0], count: [1, 29] }, { index: -1, time: 0, atRisk: 30, stopped: true }],
  ])('%s', (_, rows, stop) => { expect(stopOf(curveOf(rows), twoPoints)).toMatchObject(stop); });

  it('does not begin again when few are left and the last of them is revised', () => {
    const km = curveOf({ exit: [1, 2, 3, 4], event: [0, 0, 1, 1], count: [990, 8, 1, 1] });
    expect(km.survival[3]).toBe(0); // no further step is possible there, yet the curve rests on one procedure
    expect(stopOf(km, twoPoints)).toMatchObject({ time: 1, atRisk: 1000, stopped: true });
  });

  it('binds every time after it, and says how many were left', () => {
    const km = curveOf({ ...years, count: [10, 10, 10, 49] }), stop = stopOf(km, twoPoints);
    expect(percentAt(km, stop, 3).estimate.status).toBe('ok');
    expect(percentAt(km, stop, 3.5)).toEqual({ time: 3.5, atRisk: 49, events: 0, estimate: { status: 'notEstimable', reason: 'too few at risk (n = 49)' } });
  });

  it('can be adjusted: a largest step of 10 points, a number at risk, or no rule at all', () => {
    const km = curveOf(mercaptopurine); // 21 to start with, 5 at risk in week 25 with S = .448, 4 in week 32
    expect(stopOf(km, { largestStep: 0.1, minAtRisk: 0 })).toMatchObject({ time: 25, atRisk: 5, stopped: true });
    expect(stopOf(km, { largestStep: 0, minAtRisk: 10 })).toMatchObject({ time: 17, atRisk: 10, stopped: true });
    expect(stopOf(km, { largestStep: 0, minAtRisk: 0 })).toMatchObject({ time: 35, stopped: false });
  });

  it('flags from where fewer than a tenth of the start remain', () => {
    expect(stopOf(curveOf({ ...years, count: [100, 900, 95, 4] }), twoPoints).thinFrom).toBe(3);
    expect(stopOf(curveOf({ ...years, count: [10, 10, 10, 60] }), twoPoints).thinFrom).toBeNull();
  });

  it('with delayed entry goes on while the number at risk still rises, and says until when it was small', () => {
    const km = curveOf({ entry: [-Infinity, -Infinity, 5], exit: [2, 3, 9], event: [1, 0, 0], count: [1, 9, 200] });
    expect(stopOf(km, twoPoints)).toMatchObject({ time: 9, atRisk: 200, stopped: false, thinUntil: 3 });
  });

  it('an empty curve stops at once', () => {
    expect(stopOf(curveOf({ exit: [], event: [] }), twoPoints)).toEqual({ index: -1, time: 0, atRisk: 0, stopped: false, thinFrom: null, thinUntil: null });
  });
});
