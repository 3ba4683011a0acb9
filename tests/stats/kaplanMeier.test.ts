import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { percentAt, percentCurve } from '@/lib/stats/cumulativePercentRevision';
import { eventTable } from '@/lib/stats/eventTable';
import { kaplanMeier } from '@/lib/stats/kaplanMeier';
import { medianFollowUp } from '@/lib/stats/medianFollowUp';
import { stopOf } from '@/lib/stats/stopRule';
import { survivalLimits } from '@/lib/stats/survivalLimits';
import { estimated } from './designs';
import { dataSet1, maintained, mercaptopurine } from './printed';
import { cellsOf, cellsOfProcedures, procedures, type Rows } from './rows';

const noStop = { largestStep: 0, minAtRisk: 0 };
const curveOf = (rows: Rows) => kaplanMeier(eventTable(cellsOf(rows)));
const at = (rows: Rows, t: number, options = {}) => {
  const km = curveOf(rows);
  return percentAt(km, stopOf(km, noStop), t, options);
};

describe('cumulative percent revision against print', () => {
  // Klein & Moeschberger 2003, Survival Analysis, Table 4.1A: 6-MP arm of Freireich et al. 1963.
  it.each([[6, 0.857, 0.0764], [7, 0.807, 0.0869], [10, 0.753, 0.0963], [13, 0.690, 0.1068], [16, 0.627, 0.1141], [22, 0.538, 0.1282], [23, 0.448, 0.1346]])(
    '6-MP, week %d: S = %d, standard error %d', (week, survival, standardError) => {
      const { percent, standardError: se } = estimated(at(mercaptopurine, week).estimate);
      expect(1 - percent / 100).toBeCloseTo(survival, 3);
      expect(se).toBeCloseTo(standardError, 4);
    });

  // The same by fractions: S(10) = 18/21 · 16/17 · 14/15, Var(log S) = 3/(21·18) + 1/(17·16) + 1/(15·14).
  it('6-MP, week 10, by hand', () => {
    const survival = (18 / 21) * (16 / 17) * (14 / 15), varLog = 3 / (21 * 18) + 1 / (17 * 16) + 1 / (15 * 14);
    const { percent, standardError, lower, upper } = estimated(at(mercaptopurine, 10).estimate);
    expect(percent).toBeCloseTo(100 * (1 - survival), 12);
    expect(standardError).toBeCloseTo(survival * Math.sqrt(varLog), 14);
    const e = (1.959963984540054 * Math.sqrt(varLog)) / Math.abs(Math.log(survival));
    expect(upper).toBeCloseTo(100 * (1 - survival ** Math.exp(e)), 10);
    expect(lower).toBeCloseTo(100 * (1 - survival ** Math.exp(-e)), 10);
    expect([1 - upper / 100, 1 - lower / 100].map((s) => s.toFixed(4))).toEqual(['0.5032', '0.8894']);
  });

  // Miller 1981, Survival Analysis: maintained arm.
  it.each([[9, 0.91], [13, 0.82], [18, 0.72], [23, 0.61], [31, 0.49], [34, 0.37], [48, 0.18]])('AML maintained, week %d: S = %d', (week, survival) => {
    expect(1 - estimated(at(maintained, week).estimate).percent / 100).toBeCloseTo(survival, 2);
  });

  // Therneau & Grambsch 2000, appendix E, data set 1: S = 5/6, 5/12, 5/12, 0.
  it('data set 1, by hand', () => {
    const { survival, varLog } = curveOf(dataSet1);
    expect(Array.from(survival)).toEqual([5 / 6, 5 / 12, 5 / 12, 0].map((s) => expect.closeTo(s, 14) as number));
    expect(Array.from(varLog).slice(0, 3)).toEqual([1 / 30, 1 / 30 + 1 / 4, 1 / 30 + 1 / 4].map((v) => expect.closeTo(v, 14) as number));
  });

  // Klein & Moeschberger 2003, Example 4.2: log-log limits of S = .5492 with standard error .0812 (value from memory).
  it('log-log limits of one survival probability', () => {
    const { lower, upper } = survivalLimits(0.5492, (0.0812 / 0.5492) ** 2, 20, 0.95, 'log-log');
    expect(lower).toBeCloseTo(0.3783, 3);
    expect(upper).toBeCloseTo(0.6911, 3);
  });
});

describe('cumulative percent revision at its ends', () => {
  it('without a revision the upper limit is the exact binomial one: 3.6 % of 100', () => {
    const hundred = { exit: [5, 9], event: [0, 0], count: [1, 99] };
    expect(estimated(at(hundred, 3).estimate)).toEqual({ status: 'ok', percent: 0, standardError: 0, lower: 0, upper: 100 * (1 - 0.025 ** (1 / 100)), noEvents: true });
    expect(estimated(at(hundred, 9).estimate).upper).toBeCloseTo(100 * (1 - 0.025 ** (1 / 99)), 12); // fewer at risk, wider
    expect(percentCurve(curveOf(hundred)).firstEvent).toBe(2);
  });

  it('once all are revised there are no limits', () => {
    const all = { exit: [0, 0], event: [1, 1] };
    expect(at(all, 0)).toEqual({ time: 0, atRisk: 2, events: 2, estimate: { status: 'ok', percent: 100, standardError: NaN, lower: NaN, upper: NaN, noEvents: false } });
  });

  it('revisions on the day of surgery count from day 0', () => {
    expect(estimated(at({ exit: [0, 10], event: [1, 0], count: [1, 9] }, 0).estimate).percent).toBeCloseTo(10, 12);
  });

  it('beyond the last follow-up nothing is estimated', () => {
    expect(at(mercaptopurine, 36)).toMatchObject({ atRisk: 0, events: 9, estimate: { status: 'notEstimable', reason: 'beyond the end of follow-up (n = 0)' } });
  });

  it('an empty group has no estimate', () => {
    expect(at({ exit: [], event: [] }, 1)).toEqual({ time: 1, atRisk: 0, events: 0, estimate: { status: 'notEstimable', reason: 'no procedures' } });
  });
});

describe('cumulative percent revision, laws', () => {
  it('rises, stays within its limits, and 99 % limits contain 95 % limits, on every scale', () => {
    fc.assert(fc.property(procedures(), fc.constantFrom('log-log', 'log', 'plain'), (list, scale) => {
      const km = kaplanMeier(eventTable(cellsOfProcedures(list)));
      const narrow = percentCurve(km, { scale }), wide = percentCurve(km, { scale, confidence: 0.99 });
      narrow.percent.forEach((p, j) => {
        expect(p).toBeGreaterThanOrEqual(j === 0 ? 0 : narrow.percent[j - 1]!);
        if (!(p < 100)) return; // no limits
        expect(narrow.lower[j]!).toBeLessThanOrEqual(p + 1e-9);
        expect(narrow.upper[j]!).toBeGreaterThanOrEqual(p - 1e-9);
        expect(wide.lower[j]!).toBeLessThanOrEqual(narrow.lower[j]! + 1e-9);
        expect(wide.upper[j]!).toBeGreaterThanOrEqual(narrow.upper[j]! - 1e-9);
      });
    }));
  });

  it('without censoring is the proportion revised, with its binomial standard error', () => {
    fc.assert(fc.property(fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 40 }), (exit) => {
      const curve = percentCurve(curveOf({ exit, event: exit.map(() => 1) })), { table } = curveOf({ exit, event: exit.map(() => 1) });
      table.time.forEach((t, j) => {
        const p = exit.filter((e) => e <= t).length / exit.length;
        expect(curve.percent[j]).toBeCloseTo(100 * p, 9);
        if (p < 1) expect(curve.standardError[j]).toBeCloseTo(Math.sqrt((p * (1 - p)) / exit.length), 12);
      });
    }));
  });

  it('ten times the procedures leave the percent alone and divide the variance by ten', () => {
    fc.assert(fc.property(procedures(), (list) => {
      const once = kaplanMeier(eventTable(cellsOfProcedures(list))), tenfold = kaplanMeier(eventTable(cellsOfProcedures(list.map((p) => ({ ...p, count: 10 * p.count })))));
      once.survival.forEach((s, j) => {
        expect(tenfold.survival[j]).toBeCloseTo(s, 12);
        if (s > 0) expect(10 * tenfold.varLog[j]!).toBeCloseTo(once.varLog[j]!, 10);
      });
    }));
  });

  it('follow-up cut in two with a late entry is the same follow-up', () => {
    fc.assert(fc.property(procedures(), fc.integer({ min: 1, max: 11 }), (list, cut) => {
      const halves = list.flatMap((p) => (p.entry < cut && p.exit > cut ? [{ ...p, exit: cut, event: 0 }, { ...p, entry: cut }] : [p]));
      const whole = kaplanMeier(eventTable(cellsOfProcedures(list))), split = kaplanMeier(eventTable(cellsOfProcedures(halves)));
      whole.table.time.forEach((t, j) => { expect(split.survival[split.table.time.indexOf(t)]).toBeCloseTo(whole.survival[j]!, 12); });
    }));
  });
});

describe('median follow-up', () => {
  it('is where half would still be followed, had nobody been revised', () => {
    // censored at 2, 4, 6, 8; a revision at 3: (4/5) · (2/3) is above one half, · (1/2) below
    expect(medianFollowUp(eventTable(cellsOf({ exit: [2, 3, 4, 6, 8], event: [0, 1, 0, 0, 0] })))).toEqual({ status: 'ok', time: 6 });
  });
  it('takes the middle where exactly half are followed between two times', () => {
    expect(medianFollowUp(eventTable(cellsOf({ exit: [1, 2, 6, 9], event: [0, 0, 0, 0] })))).toEqual({ status: 'ok', time: 4 });
  });
  it('is not known when most have died or been revised', () => {
    expect(medianFollowUp(eventTable(cellsOf({ exit: [1, 2, 3], event: [1, 2, 1] })))).toMatchObject({ status: 'notEstimable' });
  });
});
