import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Cells, Design, NotEstimable } from '@/lib/stats/cells';
import { cox } from '@/lib/stats/cox/cox';
import { hazardRatios } from '@/lib/stats/cox/hazardRatios';
import { frailtyAt } from '@/lib/stats/frailty/frailtyAt';
import { frailtyModel } from '@/lib/stats/frailty/frailtyModel';
import { sharedFrailty } from '@/lib/stats/frailty/sharedFrailty';
import { cellsOf, cellsOfProcedures, groupOf, oneByOne, procedures, type Procedure } from './rows';

function ok<T extends { status: 'ok' }>(result: T | NotEstimable): T {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}
const byGroup = (list: readonly Procedure[]): Design => ({ names: ['new design'], values: Float64Array.from([0, 1]), pattern: groupOf(list) });
/** Five hospitals, and one in four procedures on its own. */
const inHospitals = (list: readonly Procedure[]): Cells => ({ ...cellsOfProcedures(list), cluster: Int32Array.from(list, (p) => ((p.exit + p.count) % 4 === 0 ? -1 : (p.exit * 3 + p.count) % 5)) });

/** 150 hospitals with 12 procedures each, gamma multipliers with variance ½, followed for at most 10 years; the new design has twice the hazard. */
function registry(variance: number): { cells: Cells; design: Design } {
  let state = 20; // Park & Miller 1988, Commun ACM 31:1192
  const uniform = (): number => (state = (state * 48271) % 2147483647) / 2147483647;
  const gamma = (shape: number): number => { let sum = 0; for (let k = 0; k < shape; ++k) sum -= Math.log(uniform()); return sum; };
  const exit: number[] = [], event: number[] = [], cluster: number[] = [], pattern: number[] = [];
  for (let h = 0; h < 150; ++h) {
    const multiplier = variance > 0 ? gamma(1 / variance) * variance : 1;
    for (let k = 0; k < 12; ++k) {
      const own = uniform() < 0.5 ? 1 : 0, time = -Math.log(uniform()) / (0.05 * multiplier * (own ? 2 : 1)), end = 2 + 8 * uniform();
      exit.push(Math.ceil(365 * Math.min(time, end)));
      event.push(Number(time < end));
      cluster.push(h);
      pattern.push(own);
    }
  }
  return { cells: cellsOf({ exit, event, cluster }), design: { names: ['new design'], values: Float64Array.from([0, 1]), pattern: Int32Array.from(pattern) } };
}

describe('shared frailty', () => {
  it('finds the variation between hospitals that was planted, and the ratio within them', () => {
    const { cells, design } = registry(0.5), result = ok(sharedFrailty(cells, design)), [ratio] = hazardRatios(result);
    expect(result.lower).toBeLessThan(0.5);
    expect(result.upper).toBeGreaterThan(0.5);
    expect(result.lower).toBeGreaterThan(0.2);
    expect(result.test.p).toBeLessThan(1e-6);
    expect(ratio).toMatchObject({ status: 'ok' });
    if (ratio?.status === 'ok') expect(ratio.lower < 2 && 2 < ratio.upper && ratio.lower > 1.5).toBe(true);
    expect([...result.frailty.values()].reduce((sum, z) => sum + z, 0) / 150).toBeCloseTo(1, 8); // their mean is 1
  });

  it('is Cox regression where hospitals differ no more than chance makes them', () => {
    const exit = [1, 2, 3, 4, 5, 6, 7, 8], event = [1, 0, 1, 0, 1, 0, 1, 0]; // each hospital of two has one revision
    const cells = cellsOf({ exit, event, cluster: [0, 0, 1, 1, 2, 2, 3, 3] }), design: Design = { names: ['woman'], values: Float64Array.from([0, 1]), pattern: Int32Array.from([0, 1, 1, 0, 0, 1, 1, 0]) };
    const plain = ok(cox(cells, design)), result = ok(sharedFrailty(cells, design));
    expect(result).toMatchObject({ variance: 0, lower: 0, test: { chisq: 0, p: 1 }, coefficient: plain.coefficient, covariance: plain.covariance });
    expect(new Set(result.frailty.values())).toEqual(new Set([1]));
    expect(result.upper).toBeGreaterThan(0);
  });

  it('comes near Cox regression as the variance falls to nothing', () => {
    fc.assert(fc.property(procedures({ minLength: 15 }), (list) => {
      const fit = cox(inHospitals(list), byGroup(list));
      if (fit.status !== 'ok' || fit.notEstimable[0]) return;
      const model = frailtyModel(fit);
      if ('status' in model) return;
      const at = frailtyAt(model, 1e-8, Float64Array.from([...new Float64Array(model.clusters.times.length), ...fit.state.beta]))!;
      expect(at.likelihood.at.at(-1)).toBeCloseTo(fit.state.beta[0]!, 5);
      expect(at.logLikelihood).toBeCloseTo(fit.logLikelihood.fitted, 4);
    }));
  });

  it('does not know the order of procedures, how they were gathered into cells, or the numbers of hospitals', () => {
    fc.assert(fc.property(procedures({ minLength: 20 }), (list) => {
      const apart = oneByOne(list).reverse(), hospital = inHospitals(list).cluster!;
      const counted = Int32Array.from([...list].flatMap((p, i) => Array.from({ length: p.count }, () => hospital[i]!)).reverse(), (h) => (h < 0 ? h : 77 - 10 * h));
      const one = sharedFrailty(inHospitals(list), byGroup(list)), other = sharedFrailty({ ...cellsOfProcedures(apart), cluster: counted }, byGroup(apart));
      if (one.status !== 'ok' || other.status !== 'ok') { expect(other).toEqual(one); return; }
      expect(other.variance).toBeCloseTo(one.variance, 5);
      expect(other.logLikelihood.frailty).toBeCloseTo(one.logLikelihood.frailty, 7);
      if (!one.notEstimable[0]) expect(other.coefficient[0]).toBeCloseTo(one.coefficient[0]!, 5);
    }), { numRuns: 40 });
  });

  it.each([
    { story: 'a single hospital', rows: { exit: [1, 2, 3], event: [1, 0, 1], cluster: [5, 5, 5] }, reason: 'all procedures belong to one cluster' },
    { story: 'no patient with two joints', rows: { exit: [1, 2, 3], event: [1, 0, 1], count: [1, 4, 1], cluster: [-1, -1, 5] }, reason: 'no cluster has more than one procedure' },
    { story: 'no clusters at all', rows: { exit: [1, 2, 3], event: [1, 0, 1] }, reason: 'no cluster has more than one procedure' },
    { story: 'no revisions', rows: { exit: [1, 2, 3], event: [0, 0, 0], cluster: [1, 1, 2] }, reason: 'no revisions' },
  ])('$story: $reason', ({ rows, reason }) => {
    expect(sharedFrailty(cellsOf(rows), { names: ['woman'], values: Float64Array.from([0, 1]), pattern: Int32Array.from([0, 1, 0]) })).toEqual({ status: 'notEstimable', reason });
  });

  it('names a level without revisions as Cox regression does, and goes on', () => {
    const cells = cellsOf({ exit: [1, 2, 3, 4, 5, 6], event: [1, 0, 1, 0, 1, 0], cluster: [0, 0, 0, 1, 1, 1] });
    const design: Design = { names: ['under 55', 'woman'], values: Float64Array.from([0, 0, 0, 1, 1, 0]), pattern: Int32Array.from([0, 2, 1, 2, 0, 1]) };
    const result = ok(sharedFrailty(cells, design));
    expect(result.notEstimable[0]!.reason).toBe('no revisions among the 2 procedures with under 55');
    expect(result.coefficient[0]).toBeNaN();
    expect(result.coefficient[1]).not.toBeNaN();
  });
});
