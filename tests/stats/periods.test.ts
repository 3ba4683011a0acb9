import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Cells } from '@/lib/stats/cells';
import { cox } from '@/lib/stats/cox/cox';
import { joinedAcrossClusters } from '@/lib/stats/cox/joinedCells';
import { periodPieces } from '@/lib/stats/cox/periodPieces';
import { piecewiseHazardRatios } from '@/lib/stats/cox/piecewiseHazardRatios';
import { robustCovariance } from '@/lib/stats/cox/robust';
import { estimated, oneColumn } from './designs';
import { cellsOf, cellsOfProcedures, groupOf, procedures } from './rows';
import { splitTime } from './splitTime';

const piecesOf = (cells: Cells, pattern: Int32Array, cuts: readonly number[]) => periodPieces(joinedAcrossClusters(cells, pattern), cuts);
const all = (cells: Cells): Int32Array => new Int32Array(cells.exit.length); // of one pattern

describe('follow-up cut at set times', () => {
  it('an event on the cut belongs to the period it ends, day 0 to the first; what goes on is shared', () => {
    const cells = cellsOf({ exit: [0, 183, 184, 900], event: [1, 1, 1, 0], count: [1, 2, 3, 4] });
    expect(piecesOf(cells, all(cells), [183, 731])).toEqual({
      cells: {
        exit: Float64Array.of(0, 183, 183, 184, 731, 900), event: Uint8Array.of(1, 1, 0, 1, 0, 0), count: Float64Array.of(1, 2, 7, 3, 4, 4),
        entry: new Float64Array(6).fill(-Infinity), stratum: Int32Array.of(0, 0, 0, 1, 1, 2),
      },
      entry: Float64Array.of(-Infinity, -Infinity, -Infinity, 183, 183, 731),
      pattern: Int32Array.of(0, 0, 0, 1, 1, 2), before: Int32Array.of(-1, -1, -1, 2, 2, 4), last: Int32Array.of(0, 1, 3, 5),
    });
  });

  it('those who enter late are not in the periods before, and share nothing', () => {
    const cells = cellsOf({ entry: [183, 200, -Infinity], exit: [190, 800, 900], event: [2, 1, 0], stratum: [6, 6, 6] });
    expect(piecesOf(cells, all(cells), [183, 731])).toMatchObject({
      cells: { exit: Float64Array.of(190, 731, 800, 183, 731, 900), event: Uint8Array.of(0, 0, 1, 0, 0, 0), entry: Float64Array.of(-Infinity, 200, -Infinity, -Infinity, -Infinity, -Infinity) },
      entry: Float64Array.of(183, 200, 731, -Infinity, 183, 731), before: Int32Array.of(-1, -1, 1, -1, 3, 4), last: Int32Array.of(0, 2, 5),
    });
  });

  it('has room for all where the first to enter late comes before others', () => {
    const cells = cellsOf({ entry: [1, -Infinity], exit: [30, 40], event: [0, 0], count: [1, 1] });
    expect([...piecesOf(cells, all(cells), [10, 20]).cells.count]).toEqual([1, 1, 1, 1, 1, 1]);
  });

  it.each([[[0, 5]], [[5, 5]], [[9, 3]], [[NaN]]])('refuses cuts %j', (cuts) => {
    const cells = cellsOf({ exit: [1], event: [1] });
    expect(() => piecesOf(cells, all(cells), cuts)).toThrow(`cuts must ascend from above 0: ${cuts.join(', ')}`);
  });

  it('keeps every day at risk and every event', () => {
    fc.assert(fc.property(procedures(), fc.subarray([1, 3, 4, 8, 20]), (list, cuts) => {
      const cells = cellsOfProcedures(list), { cells: pieces, entry, pattern } = piecesOf(cells, groupOf(list), cuts), periods = cuts.length + 1;
      const days = ({ exit, count }: Cells, from?: Float64Array) => exit.reduce((sum, t, i) => sum + count[i]! * (t - Math.max(0, from?.[i] ?? 0)), 0);
      const events = ({ event, count }: Cells) => event.reduce((sum, e, i) => sum + (e === 1 ? count[i]! : 0), 0);
      expect(days(pieces, entry)).toBe(days(cells, cells.entry));
      expect(events(pieces)).toBe(events(cells));
      pattern.forEach((p, i) => { expect(pieces.exit[i]! <= (cuts[p % periods] ?? Infinity) && entry[i]! >= (cuts[(p % periods) - 1] ?? -Infinity)).toBe(true); });
    }));
  });

  it('gives the ratios and limits of the pieces one by one', () => {
    fc.assert(fc.property(procedures(), fc.subarray([1, 3, 4, 8]), (list, cuts) => {
      const cells = { ...cellsOfProcedures(list), cluster: Int32Array.from(list, (_, i) => (i % 5) - 1) }, periods = cuts.length + 1, split = splitTime(cells, cuts);
      const values = Float64Array.from({ length: 2 * periods * periods }, (_, at) => (at >= periods * periods && (at - periods * periods) % (periods + 1) === 0 ? 1 : 0)); // by group and period
      const oneByOne = cox(split, { names: cuts.concat(Infinity).map((cut) => `until ${cut}`), values, pattern: Int32Array.from(split.origin, (i, piece) => list[i]!.group * periods + split.interval[piece]!) });
      const found = piecewiseHazardRatios(cells, { names: ['group'], values: Float64Array.of(0, 1), pattern: groupOf(list) }, [0], cuts, { robust: true });
      expect(found.status).toBe(oneByOne.status);
      if (found.status !== 'ok' || oneByOne.status !== 'ok' || oneByOne.maximum.diverging.size > 0) return; // beside a ratio without bound, errors hang on how near the search came to the limit
      const [a, b] = [found.robust!, robustCovariance(oneByOne, { origin: split.origin })], close = (one: number, other: number) => { if (!Number.isNaN(one)) expect(Math.abs(one - other)).toBeLessThan(1e-7 * (1 + Math.abs(one))); };
      found.fit.coefficient.forEach((value, j) => { close(value, oneByOne.coefficient[j]!); });
      expect(a.status).toBe(b.status);
      if (a.status === 'ok' && b.status === 'ok') a.covariance.forEach((value, k) => { close(value, b.covariance[k]!); });
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
