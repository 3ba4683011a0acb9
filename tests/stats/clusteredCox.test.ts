import { describe, expect, it } from 'vitest';
import { cox } from '../../lib/stats/cox/cox';
import { clusteredCox } from '../../lib/stats/cox/clusteredCox';
import { joinedAcrossClusters } from '../../lib/stats/cox/joinedCells';
import { piecewiseHazardRatios } from '../../lib/stats/cox/piecewiseHazardRatios';
import { robustCovariance } from '../../lib/stats/cox/robust';
import { untilLastEvent } from '../../lib/stats/cox/untilLastEvent';
import { riskSets } from '../../lib/stats/riskSets';
import type { Cells, Design } from '../../lib/stats/cells';
import { splitTime } from './splitTime';

// Joining cells across clusters, and taking periods for strata, are two ways to the same sums as `cox` and `robustCovariance`, which are held against R's survival in tests/reference.

const size = 400, draw = (i: number, k: number): number => ((i * 7919 + k * 104_729 + (i % 13) * k * 31) % 997) / 997;
const exit = Float64Array.from({ length: size }, (_, i) => 5 + Math.floor(40 * draw(i, 1)));
const cells: Cells = {
  exit,
  event: Uint8Array.from({ length: size }, (_, i) => (draw(i, 2) < 0.5 ? 1 : draw(i, 2) < 0.6 ? 2 : 0)),
  count: Float64Array.from({ length: size }, (_, i) => 1 + (i % 3)),
  entry: Float64Array.from(exit, (t, i) => (i % 17 === 0 ? Math.floor(t / 2) : -Infinity)),
  stratum: Int32Array.from({ length: size }, (_, i) => i % 2),
  cluster: Int32Array.from({ length: size }, (_, i) => (i % 3 === 0 ? -1 : Math.floor(90 * draw(i, 3)))),
};
const design: Design = { names: ['a', 'b'], values: Float64Array.of(0, 0, 1, 0, 0, 1, 1, 1, 0, 2.5), pattern: Int32Array.from({ length: size }, (_, i) => Math.floor(5 * draw(i, 4))) };

const ok = <T extends { readonly status: string }>(result: T) => {
  if (result.status !== 'ok') throw new Error('not estimable');
  return result as Extract<T, { readonly status: 'ok' }>;
};
const expectSame = (a: ArrayLike<number>, b: ArrayLike<number>) => {
  expect(a.length).toBe(b.length);
  Array.from(a).forEach((v, i) => { expect(Math.abs(v - b[i]!)).toBeLessThan(1e-12 * (1 + Math.abs(b[i]!))); });
};

describe('a model fitted to cells joined across clusters', () => {
  it('has the coefficients and the robust covariance of the cells one by one', () => {
    const whole = ok(cox(cells, design)), robust = ok(robustCovariance(whole)), joined = ok(clusteredCox(cells, design)), over = ok(joined.robust!);
    expect(joined.fit.state.model.cells.exit.length).toBeLessThan(size);
    expectSame(joined.fit.coefficient, whole.coefficient);
    expectSame(joined.fit.covariance, whole.covariance);
    expectSame(over.covariance, robust.covariance);
    expect(over.clusters).toBe(robust.clusters);
    expect(joined.fit.procedures).toBe(whole.procedures);
  });

  it.each([[[0]], [[1]], [[1, 0]]])('has for columns %s alone what it has for all', (wanted) => {
    const all = ok(clusteredCox(cells, design)), some = ok(clusteredCox(cells, design, {}, wanted)), [whole, over] = [ok(all.robust!), ok(some.robust!)];
    const ofWanted = (covariance: Float64Array) => wanted.flatMap((i) => wanted.map((j) => covariance[2 * i + j]!));
    expect(some.fit.names).toEqual(wanted.map((w) => design.names[w]));
    expectSame(some.fit.coefficient, wanted.map((w) => all.fit.coefficient[w]!));
    expectSame(some.fit.covariance, ofWanted(all.fit.covariance));
    expectSame(over.covariance, ofWanted(whole.covariance));
    expect(over.clusters).toBe(whole.clusters);
  });

  it('keeps every procedure and every stratum, and what cannot be joined', () => {
    const { cells: rows, row, pattern } = joinedAcrossClusters(cells, design.pattern), counted = new Float64Array(rows.exit.length);
    row.forEach((r, i) => {
      counted[r]! += cells.count[i]!;
      expect([rows.exit[r], rows.stratum![r], rows.entry![r], pattern[r], rows.event[r] === 1]).toEqual([cells.exit[i], cells.stratum![i], cells.entry![i], design.pattern[i], cells.event[i] === 1]);
    });
    expect([...counted]).toEqual([...rows.count]);
  });
});

describe('follow-up until the last event', () => {
  it.each(['one baseline', 'strata', 'strata with numbers below 0'])('has the same risk sets in fewer different cells: %s', (story) => {
    const { stratum, ...others } = cells, given: Cells = story === 'one baseline' ? others : { ...others, stratum: story === 'strata' ? stratum! : stratum!.map((s) => s - 1) };
    const until = untilLastEvent(given), [shorter, whole] = [riskSets(until), riskSets(given)];
    for (const field of ['time', 'stratum', 'events', 'first', 'last'] as const) expect(shorter[field], field).toEqual(whole[field]);
    expect(joinedAcrossClusters(until, design.pattern).first.length).toBeLessThan(joinedAcrossClusters(given, design.pattern).first.length);
  });

  it('is left as it is where a time is no whole day', () => {
    const given: Cells = { ...cells, exit: cells.exit.map((t) => t + 0.5) };
    expect(untilLastEvent(given)).toBe(given);
  });
});

describe('ratios within periods', () => {
  it.each([true, false])('are those of the pieces with delayed entry and their own rows; clusters: %s', (withClusters) => {
    const { cluster, ...others } = cells, given: Cells = withClusters && cluster ? { ...others, cluster } : others;
    const found = ok(piecewiseHazardRatios(given, design, [0], [12, 25], { robust: true })), split = splitTime(given, [12, 25]);
    const values: number[] = [], names = ['a1', 'a2', 'a3', 'b'];
    for (let p = 0; p < 5; ++p) for (let k = 0; k < 3; ++k) values.push(...[0, 1, 2].map((at) => (at === k ? design.values[2 * p]! : 0)), design.values[2 * p + 1]!);
    const fit = ok(cox(split, { names, values: Float64Array.from(values), pattern: Int32Array.from(split.origin, (i, piece) => 3 * design.pattern[i]! + split.interval[piece]!) }));
    expectSame(found.fit.coefficient, fit.coefficient);
    expectSame(found.fit.covariance, fit.covariance);
    const ofAll = ok(robustCovariance(fit, { origin: split.origin })).covariance, ofPeriods = Float64Array.from({ length: 9 }, (_, k) => ofAll[4 * Math.floor(k / 3) + (k % 3)]!);
    expectSame(ok(found.robust!).covariance, ofPeriods);
    expect(ok(found.robust!).clusters).toBe(ok(robustCovariance(fit, { origin: split.origin })).clusters);
    expect(found.fit.logLikelihood.fitted).toBeCloseTo(fit.logLikelihood.fitted, 8);
    const shorter = ok(piecewiseHazardRatios(untilLastEvent(given), design, [0], [12, 25], { robust: true }));
    expectSame(shorter.fit.coefficient, fit.coefficient);
    expectSame(ok(shorter.robust!).covariance, ofPeriods);
  });
});
