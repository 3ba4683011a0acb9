import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { aalenJohansen, type AalenJohansen } from '@/lib/stats/aalenJohansen';
import { percentAt, percentCurve } from '@/lib/stats/cumulativePercentRevision';
import { firstAbove } from '@/lib/stats/distinctTimes';
import { eventTable } from '@/lib/stats/eventTable';
import { kaplanMeier } from '@/lib/stats/kaplanMeier';
import { stopOf } from '@/lib/stats/stopRule';
import { cellsOf, cellsOfProcedures, fixture, oneByOne, procedures, type Rows } from './rows';

const noStop = { largestStep: 0, minAtRisk: 0 };
const valueAt = (aj: AalenJohansen, cause: number, t: number, of: 'incidence' | 'variance' = 'incidence'): number => {
  const curve = aj.causes[cause - 1]!, j = firstAbove(curve.table.time, t) - 1;
  return j < 0 ? 0 : curve[of][j]!;
};

describe('cumulative incidence against etm', () => {
  interface Expected { cause: number; time: number[]; percent: number[]; variance: number[]; lower: number[]; upper: number[]; atRisk: number[] }
  const { cases } = fixture('aalenJohansen') as { cases: { name: string; input: Rows; expected: Expected[] }[] };
  it.each(cases)('$name', ({ input, expected }) => {
    const aj = aalenJohansen(cellsOf(input));
    expect(aj.causes).toHaveLength(expected.length);
    for (const { cause, time, percent, variance, lower, upper, atRisk } of expected) {
      const curve = aj.causes[cause - 1]!, stop = stopOf(curve, noStop);
      time.forEach((t, k) => {
        const at = percentAt(curve, stop, t);
        if (at.estimate.status !== 'ok') throw new Error(at.estimate.reason);
        expect(at.estimate.percent).toBeCloseTo(percent[k]!, 10);
        expect(valueAt(aj, cause, t, 'variance')).toBeCloseTo(variance[k]!, 12);
        expect(at.atRisk).toBe(atRisk[k]);
        if (percent[k]! > 0) { // before the first event etm's limits are both 0, ours exact
          expect(at.estimate.lower).toBeCloseTo(lower[k]!, 9);
          expect(at.estimate.upper).toBeCloseTo(upper[k]!, 9);
        }
      });
    }
  });
});

// Scrucca, Santucci & Aversa 2007, Bone Marrow Transplant 40:381: the 35 patients in print, months / event; percents recomputed from them.
it.each([
  { group: 'disease 0', percent: 47.06, rows: '13/2 1/1 72/0 7/2 8/2 9/2 5/2 1/2 22/2 0/2 0/1 35/0 4/2 14/2 26/2 3/2 12/1' },
  { group: 'disease 1', percent: 20.57, rows: '67/0 70/0 4/0 7/0 68/0 10/2 7/2 3/1 4/1 4/1 3/1 3/1 8/1 2/2 35/0 2/0 8/0 32/0' },
])('keeps events in the month of the transplant: $group', ({ percent, rows }) => {
  const pairs = rows.split(' ').map((row) => row.split('/').map(Number));
  const aj = aalenJohansen(cellsOf({ exit: pairs.map(([t]) => t!), event: pairs.map(([, e]) => e!) }));
  expect(100 * valueAt(aj, 2, 12)).toBeCloseTo(percent, 2);
});

describe('laws of cumulative incidence', () => {
  it('adds up to one with those free of every event, and never falls', () => {
    fc.assert(fc.property(procedures(), (list) => {
      const aj = aalenJohansen(cellsOfProcedures(list));
      aj.eventFree.forEach((s, j) => { expect(aj.causes.reduce((sum, c) => sum + c.incidence[j]!, s)).toBeCloseTo(1, 12); });
      for (const { incidence, variance } of aj.causes) {
        incidence.forEach((f, j) => { expect(f).toBeGreaterThanOrEqual(incidence[j - 1] ?? 0); });
        expect(variance.every((v) => v >= 0)).toBe(true);
      }
    }));
  });

  it('is one minus Kaplan–Meier, limits and all, where nothing competes', () => {
    fc.assert(fc.property(procedures({ lastEvent: 1 }), (list) => {
      const cells = cellsOfProcedures(list);
      const km = percentCurve(kaplanMeier(eventTable(cells))), curve = percentCurve(aalenJohansen(cells).causes[0]!);
      for (const field of ['percent', 'standardError', 'lower', 'upper'] as const) {
        km[field].forEach((v, j) => { if (Number.isNaN(v)) expect(curve[field][j]).toBeNaN(); else expect(curve[field][j]).toBeCloseTo(v, 8); });
      }
    }));
  });

  it('is below one minus Kaplan–Meier where something competes', () => {
    fc.assert(fc.property(procedures(), (list) => {
      const cells = cellsOfProcedures(list), { survival } = kaplanMeier(eventTable(cells));
      aalenJohansen(cells).causes[0]!.incidence.forEach((f, j) => { expect(f).toBeLessThanOrEqual(1 - survival[j]! + 1e-12); });
    }));
  });

  it('does not know the order of the cells, nor how procedures were gathered into them', () => {
    fc.assert(fc.property(procedures(), (list) => {
      const aj = aalenJohansen(cellsOfProcedures(list), 3), other = aalenJohansen(cellsOfProcedures(oneByOne(list).reverse()), 3);
      expect(other).toEqual(aj);
    }));
  });

  it('does not know of follow-up cut in two, the second part entering where the first is censored', () => {
    fc.assert(fc.property(procedures({ late: false }), fc.integer({ min: 1, max: 11 }), (list, cut) => {
      const parts = list.flatMap((p) => (p.exit > cut ? [{ ...p, exit: cut, event: 0 }, { ...p, entry: cut }] : [p]));
      const whole = aalenJohansen(cellsOfProcedures(list), 3), cutInTwo = aalenJohansen(cellsOfProcedures(parts), 3);
      for (let t = 0; t <= 12; ++t) for (const cause of [1, 2, 3]) {
        expect(valueAt(cutInTwo, cause, t)).toBeCloseTo(valueAt(whole, cause, t), 12);
        expect(valueAt(cutInTwo, cause, t, 'variance')).toBeCloseTo(valueAt(whole, cause, t, 'variance'), 12);
      }
    }));
  });

  it('has a quarter of the variance with four times as many of each', () => {
    fc.assert(fc.property(procedures(), (list) => {
      const one = aalenJohansen(cellsOfProcedures(list), 3), four = aalenJohansen(cellsOfProcedures(list.map((p) => ({ ...p, count: 4 * p.count }))), 3);
      one.causes.forEach(({ incidence, variance }, k) => {
        incidence.forEach((f, j) => { expect(four.causes[k]!.incidence[j]).toBeCloseTo(f, 12); });
        variance.forEach((v, j) => { expect(four.causes[k]!.variance[j]).toBeCloseTo(v / 4, 12); });
      });
    }));
  });
});

describe('cumulative incidence at the edges', () => {
  const percentOf = (rows: Rows, cause: number, time: number, causes?: number) => {
    const curve = aalenJohansen(cellsOf(rows), causes).causes[cause - 1]!;
    return percentAt(curve, stopOf(curve, noStop), time).estimate;
  };
  it('before the first event the upper limit is the exact one of none among those at risk', () => {
    expect(percentOf({ exit: [10], event: [0], count: [100] }, 1, 10)).toMatchObject({ percent: 0, lower: 0, upper: 100 * (1 - 0.025 ** 0.01), noEvents: true });
    expect(percentOf({ exit: [5, 10], event: [2, 0], count: [50, 100] }, 3, 10, 3)).toMatchObject({ percent: 0, lower: 0, upper: 100 * (1 - 0.025 ** 0.01) });
  });
  it('all on the day of surgery', () => {
    expect(percentOf({ exit: [0, 0], event: [1, 2], count: [1, 3] }, 2, 0)).toMatchObject({ percent: 75 });
  });
  it('all revised: one hundred percent, without limits', () => {
    expect(percentOf({ exit: [0, 3, 7], event: [1, 1, 1] }, 1, 7)).toMatchObject({ percent: 100, lower: NaN, upper: NaN });
  });
  it('nobody', () => {
    expect(percentOf({ exit: [], event: [] }, 1, 0)).toEqual({ status: 'notEstimable', reason: 'no procedures' });
  });
  it('a cause beyond those asked for is refused', () => {
    expect(() => aalenJohansen(cellsOf({ exit: [1], event: [3] }), 2)).toThrow('cell 0: event must be at most the number of causes (2): 3');
  });
  it('stops by the same rule as Kaplan–Meier', () => {
    const [curve] = aalenJohansen(cellsOf({ exit: [1, 2, 3, 4], event: [1, 2, 0, 0], count: [10, 10, 60, 20] })).causes;
    expect(stopOf(curve!, { largestStep: 0.02, minAtRisk: 0 })).toMatchObject({ time: 3, stopped: true });
  });
});
