import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { piecewiseHazardRatios } from '@/lib/stats/cox/piecewiseHazardRatios';
import { cox } from '@/lib/stats/cox/cox';
import { splitTime } from '@/lib/stats/splitTime';
import { estimated, oneColumn } from './designs';
import { cellsOf, cellsOfProcedures, procedures } from './rows';

describe('follow-up cut at set times', () => {
  it('an event on the cut belongs to the interval it ends, day 0 to the first', () => {
    const split = splitTime(cellsOf({ exit: [0, 183, 184, 900], event: [1, 1, 1, 0], count: [1, 2, 3, 4] }), [183, 731]);
    expect(split).toMatchObject({
      origin: Int32Array.of(0, 1, 2, 2, 3, 3, 3), interval: Int32Array.of(0, 0, 0, 1, 0, 1, 2),
      entry: Float64Array.of(-Infinity, -Infinity, -Infinity, 183, -Infinity, 183, 731), exit: Float64Array.of(0, 183, 183, 184, 183, 731, 900),
      event: Uint8Array.of(1, 1, 0, 1, 0, 0, 0), count: Float64Array.of(1, 2, 3, 3, 4, 4, 4),
    });
  });

  it('those who enter late are not in the intervals before', () => {
    const split = splitTime(cellsOf({ entry: [183, 200], exit: [190, 800], event: [2, 1], stratum: [5, 6], cluster: [1, -1] }), [183, 731]);
    expect(split).toMatchObject({
      interval: Int32Array.of(1, 1, 2), entry: Float64Array.of(183, 200, 731), exit: Float64Array.of(190, 731, 800), event: Uint8Array.of(2, 0, 1),
      stratum: Int32Array.of(5, 6, 6), cluster: Int32Array.of(1, -1, -1),
    });
  });

  it.each([[[0, 5]], [[5, 5]], [[9, 3]], [[NaN]]])('refuses cuts %j', (cuts) => {
    expect(() => splitTime(cellsOf({ exit: [1], event: [1] }), cuts)).toThrow(`cuts must ascend from above 0: ${cuts.join(', ')}`);
  });

  it('keeps every day at risk and every event', () => {
    fc.assert(fc.property(procedures(), fc.subarray([1, 3, 4, 8, 20]), (list, cuts) => {
      const cells = cellsOfProcedures(list), split = splitTime(cells, cuts);
      const days = ({ exit, entry, count }: typeof cells) => exit.reduce((sum, t, i) => sum + count[i]! * (t - Math.max(0, entry?.[i] ?? 0)), 0);
      const events = ({ event, count }: typeof cells) => event.reduce((sum, e, i) => sum + (e > 0 ? count[i]! : 0), 0);
      expect(days(split)).toBe(days(cells));
      expect(events(split)).toBe(events(cells));
      split.interval.forEach((k, i) => { expect(split.exit[i]! <= (cuts[k] ?? Infinity) && (k === 0 || split.exit[i]! > cuts[k - 1]!)).toBe(true); });
    }));
  });
});

describe('period-specific hazard ratios', () => {
  // Pegged (0) and keeled (1): alike at first, from day 10 only keeled are revised, after day 20 nobody.
  const exit = [1, 2, 3, 4, 5, 6, 11, 12, 13, 40, 40, 40, 40, 40], keeled = [0, 1, 1, 0, 1, 0, 1, 1, 1, 0, 0, 0, 1, 1];
  const event = [1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0];

  it('says in which period there is nothing to compare', () => {
    const { periods } = estimated(piecewiseHazardRatios(cellsOf({ exit, event }), oneColumn(keeled, 'keeled'), [0], [10, 20]));
    expect(periods.map(({ from, to, events }) => [from, to, events])).toEqual([[0, 10, 6], [10, 20, 3], [20, Infinity, 0]]);
    expect(periods.map(({ ratios: [ratio] }) => (ratio!.status === 'ok' ? 'ok' : ratio!.reason))).toEqual(['ok', 'no revisions in the reference group in this period', 'no revisions in this period']);
    const pegged = piecewiseHazardRatios(cellsOf({ exit, event }), oneColumn(keeled.map((k) => 1 - k), 'pegged'), [0], [10, 20]);
    expect(estimated(pegged).periods[1]!.ratios[0]).toMatchObject({ name: 'pegged', reason: 'no revisions with pegged in this period' });
  });

  it('without other covariates each period is a fit of its own', () => {
    const { periods } = estimated(piecewiseHazardRatios(cellsOf({ exit, event }), oneColumn(keeled), [0], [4]));
    const early = estimated(cox(cellsOf({ exit: exit.map((t) => Math.min(t, 4)), event: event.map((e, i) => (exit[i]! <= 4 ? e : 0)) }), oneColumn(keeled)));
    const lateRows = exit.map((_, i) => i).filter((i) => exit[i]! > 4);
    const late = estimated(cox(cellsOf({ exit: lateRows.map((i) => exit[i]!), event: lateRows.map((i) => event[i]!) }), oneColumn(lateRows.map((i) => keeled[i]!))));
    expect(periods.map((p) => estimated(p.ratios[0]!).coefficient)).toEqual([early, late].map((f) => expect.closeTo(f.coefficient[0]!, 10) as number));
  });

  it('without cuts is the ordinary hazard ratio', () => {
    const { periods, robust } = estimated(piecewiseHazardRatios(cellsOf({ exit, event }), oneColumn(keeled), [0], []));
    expect(estimated(periods[0]!.ratios[0]!).coefficient).toBeCloseTo(estimated(cox(cellsOf({ exit, event }), oneColumn(keeled))).coefficient[0]!, 12);
    expect(robust).toBeNull();
  });
});
