import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { eventTable } from '@/lib/stats/eventTable';
import { boundaryKernel, smoothedHazard, type SmoothedHazard } from '@/lib/stats/smoothedHazard';
import { cellsOf, cellsOfProcedures, fixture, oneByOne, procedures, type Rows } from './rows';

const ok = (result: ReturnType<typeof smoothedHazard>): SmoothedHazard => {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
};

describe('against kernels solved from their moments', () => {
  const { cases } = fixture('smoothedHazard') as {
    cases: { name: string; input: Rows; bandwidth: number; end: number; points: number; expected: Record<'time' | 'hazard' | 'lower' | 'upper', number[]> }[];
  };
  it.each(cases)('$name', ({ input, bandwidth, end, points, expected }) => {
    const found = ok(smoothedHazard(eventTable(cellsOf(input)), { bandwidth, end, points }));
    expect(found.time.length).toBe(expected.time.length);
    expected.hazard.forEach((hazard, k) => {
      expect(found.time[k]).toBeCloseTo(expected.time[k]!, 9);
      if (hazard > 0) for (const field of ['hazard', 'lower', 'upper'] as const) expect(found[field][k]! / expected[field][k]!).toBeCloseTo(1, 9);
      else expect([found.hazard[k], found.lower[k], found.upper[k]]).toEqual([hazard < 0 ? NaN : 0, NaN, NaN]); // a negative sum cannot be shown
    });
  });
});

describe('the kernel', () => {
  it('keeps a constant and a straight line as they are, at the edges too (moments 1 and 0, by Simpson’s rule, exact for cubics)', () => {
    fc.assert(fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (q) => {
      const simpson = (f: (z: number) => number): number => ((1 + q) / 6) * (f(-1) + 4 * f((q - 1) / 2) + f(q));
      expect(simpson((z) => boundaryKernel(z, q))).toBeCloseTo(1, 10);
      expect(simpson((z) => z * boundaryKernel(z, q))).toBeCloseTo(0, 10);
    }));
  });
  it('is Epanechnikov’s away from the edges', () => {
    for (const z of [-1, -0.5, 0, 0.3, 1]) expect(boundaryKernel(z, 1)).toBeCloseTo(0.75 * (1 - z * z), 12);
  });
});

describe('laws', () => {
  it('finds a constant hazard, at the edges too', () => {
    const days = Array.from({ length: 1000 }, (_, d) => d + 0.5); // five events a day among ever so many
    const cells = cellsOf({ exit: [...days, 1000], event: [...days.map(() => 1), 0], count: [...days.map(() => 5), 1e8] });
    const { hazard } = ok(smoothedHazard(eventTable(cells), { bandwidth: 200, end: 1000 }));
    hazard.forEach((h) => { expect(h * 1e8).toBeCloseTo(5, 2); });
  });
  it('does not know the order or the gathering of cells; narrows as the square root of the number', () => {
    fc.assert(fc.property(procedures(), (list) => {
      const options = { bandwidth: 4, end: 12 };
      const of = (rows: typeof list) => smoothedHazard(eventTable(cellsOfProcedures(rows)), options);
      const one = of(list), four = of(list.map((p) => ({ ...p, count: 4 * p.count })));
      expect(of(oneByOne(list).reverse())).toEqual(one);
      if (one.status !== 'ok' || four.status !== 'ok') return;
      one.hazard.forEach((h, k) => {
        if (h >= 0) expect(four.hazard[k]).toBeCloseTo(h, 10);
        expect(Number.isNaN(one.lower[k]!)).toBe(Number.isNaN(one.upper[k]!));
        if (h > 1e-6 && one.upper[k]! > 0) expect(Math.log(four.upper[k]! / h) / Math.log(one.upper[k]! / h)).toBeCloseTo(0.5, 6);
        else if (!(h > 0)) expect(one.upper[k]).toBeNaN();
      });
    }));
  });
});

describe('at the edges', () => {
  const one = eventTable(cellsOf({ exit: [5, 10], event: [1, 0], count: [1, 9] }));
  it('no event up to the end, or follow-up too short for the bandwidth', () => {
    expect(smoothedHazard(one, { bandwidth: 2, end: 4 })).toEqual({ status: 'notEstimable', reason: 'no revisions' });
    expect(smoothedHazard(one, { bandwidth: 6, end: 10 })).toEqual({ status: 'notEstimable', reason: 'follow-up (10) is shorter than twice the bandwidth (6)' });
    expect(smoothedHazard(eventTable(cellsOf({ exit: [0], event: [1] })), { bandwidth: 1, end: 0 })).toMatchObject({ status: 'notEstimable' });
  });
  it('where none is within reach the hazard is 0 and has no limits', () => {
    const { hazard, lower, upper, atRisk } = ok(smoothedHazard(one, { bandwidth: 2, end: 10, points: 6 }));
    expect([...hazard].map((h) => h > 0)).toEqual([false, false, true, true, false, false]);
    expect([lower[1], upper[1]]).toEqual([NaN, NaN]);
    expect([...atRisk]).toEqual([10, 10, 10, 9, 9, 9]);
  });
  // Müller & Wang 1994: at the day of surgery a revision in the later half of the bandwidth counts against those before; three on day 3 nearly outweigh one on day 1.
  it('where revisions nearly outweigh each other the hazard has no limits, rather than from 0 to infinity', () => {
    const cells = cellsOf({ exit: [1, 3, 10, 10], event: [1, 1, 0, 0], count: [1, 3, 996, 2], entry: [-Infinity, -Infinity, -Infinity, 2] });
    const { hazard, lower, upper } = ok(smoothedHazard(eventTable(cells), { bandwidth: 4, end: 10 }));
    expect(hazard[0]).toBeCloseTo((12 * 0.1875 * (1 / 1000 - 1 / 1001)) / 4, 12);
    expect([lower[0], upper[0]]).toEqual([NaN, NaN]);
  });
  it('events on the day of surgery count', () => {
    expect(ok(smoothedHazard(eventTable(cellsOf({ exit: [0, 10], event: [1, 0], count: [1, 9] })), { bandwidth: 5, end: 10 })).hazard[0]).toBeGreaterThan(0);
  });
  it('a bandwidth or number of points that makes no sense is refused', () => {
    expect(() => smoothedHazard(one, { bandwidth: 0, end: 10 })).toThrow('bandwidth must be above 0: 0');
    expect(() => smoothedHazard(one, { bandwidth: 2, end: 10, points: 1 })).toThrow('points must be a whole number above 1: 1');
  });
});
