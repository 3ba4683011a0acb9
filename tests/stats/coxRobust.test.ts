import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cox } from '@/lib/stats/cox/cox';
import { hazardRatios } from '@/lib/stats/cox/hazardRatios';
import { scoreResiduals } from '@/lib/stats/cox/residuals';
import { robustCovariance } from '@/lib/stats/cox/robust';
import { weightedCox } from '@/lib/stats/weighting/weightedCox';
import { cellsFrom, designFrom, estimated, oneColumn, oneEach, patients, type Patient } from './designs';
import { dataSet1 } from './printed';
import { cellsOf } from './rows';
import { splitTime } from './splitTime';

const fitOf = (list: readonly Patient[]) => cox(cellsFrom(list), designFrom(list));

describe('robust errors', () => {
  // Therneau & Grambsch 2000, appendix E, data set 1, Efron; the robust variance recomputed from the data in print.
  it('data set 1, each subject a cluster: .770739', () => {
    const fit = estimated(cox(cellsOf(dataSet1), oneColumn(dataSet1.x)));
    const robust = estimated(robustCovariance(fit));
    expect(robust.covariance[0]).toBeCloseTo(0.770739, 6);
    expect(robust.clusters).toBe(6);
    // from its definition: the sum of squares of score residual × variance
    const squares = scoreResiduals(fit.state).reduce((sum, u) => sum + (u * fit.covariance[0]!) ** 2, 0);
    expect(robust.covariance[0]).toBeCloseTo(squares, 13);
  });

  it('both shoulders of every patient in the data twice: the robust error stays that of the patients', () => {
    const x = dataSet1.x, cluster = [0, 1, 2, 3, 4, 5];
    const once = estimated(cox(cellsOf({ ...dataSet1, cluster }), oneColumn(x), { ties: 'breslow' }));
    const twice = estimated(cox(cellsOf({ ...dataSet1, cluster, count: x.map(() => 2) }), oneColumn(x), { ties: 'breslow' }));
    expect(twice.covariance[0]).toBeCloseTo(once.covariance[0]! / 2, 12); // which would be claiming twice the information
    const [a, b] = [estimated(robustCovariance(once)), estimated(robustCovariance(twice))];
    expect(b.covariance[0]).toBeCloseTo(a.covariance[0]!, 12);
    const ratio = hazardRatios(twice, { covariance: b.covariance })[0]!;
    expect(estimated(ratio).standardError).toBeCloseTo(Math.sqrt(a.covariance[0]!), 12);
  });

  it('one cluster has no spread between clusters', () => {
    const fit = estimated(cox(cellsOf({ ...dataSet1, cluster: dataSet1.x.map(() => 7) }), oneColumn(dataSet1.x)));
    expect(robustCovariance(fit)).toEqual({ status: 'notEstimable', reason: 'all procedures belong to one cluster' });
  });

  // Lin & Wei 1989: each procedure adds its own excess of revisions over expected. Where all at risk are revised at once there is none, and limits would have no width.
  it('everyone still followed is revised on one day: there are no limits to give, by this model or with weights', () => {
    const cells = cellsOf({ exit: [0, 6, 6], event: [0, 1, 1], count: [2, 1, 2] }), design = oneColumn([1, 0, 1], 'keeled');
    const reason = 'what procedures and clusters add to the ratio of keeled cancels out, which leaves no spread to go by';
    const fit = estimated(cox(cells, design));
    expect(fit.covariance[0]).toBeCloseTo(1.5, 12); // the model itself knows something
    expect(robustCovariance(fit)).toEqual({ status: 'notEstimable', reason });
    expect(weightedCox(cells, Float64Array.of(1, 1, 1), design)).toEqual({ status: 'notEstimable', reason });
  });

  it('fewer than thirty clusters are flagged, thirty are not', () => {
    const rows = (n: number) => ({ exit: Array.from({ length: n }, (_, i) => i + 1), event: Array.from({ length: n }, (_, i) => i % 2), cluster: Array.from({ length: n }, (_, i) => i) });
    const notes = (n: number) => estimated(robustCovariance(estimated(cox(cellsOf(rows(n)), oneColumn(rows(n).exit.map((t) => (t * 7) % 3)))))).notes;
    expect(notes(29)).toEqual(['only 29 clusters (fewer than 30): robust limits tend to be too narrow']);
    expect(notes(30)).toEqual([]);
  });

  it('a coefficient without estimate has no robust error, the others have', () => {
    const exit = Array.from({ length: 12 }, (_, i) => i + 1), quiet = exit.map((t) => Number(t % 3 === 0)), male = exit.map((t) => Number([1, 2, 4, 7, 8, 11].includes(t)));
    const design = { names: ['quiet', 'male'], values: Float64Array.from(exit.flatMap((_, i) => [quiet[i]!, male[i]!])), pattern: Int32Array.from(exit, (_, i) => i) };
    const { covariance } = estimated(robustCovariance(estimated(cox(cellsOf({ exit, event: exit.map((t) => Number(t % 3 !== 0)) }), design))));
    expect(Array.from(covariance, Number.isNaN)).toEqual([true, true, true, false]);
  });
});

describe('robust errors, laws', () => {
  it('counted cells of single procedures are their procedures one by one', () => {
    fc.assert(fc.property(patients(), (list) => {
      const alone = list.map((p) => ({ ...p, cluster: -1 })), fit = fitOf(alone), each = fitOf(oneEach(alone));
      if (fit.status !== 'ok' || each.status !== 'ok') return;
      const [a, b] = [robustCovariance(fit), robustCovariance(each)];
      if (a.status !== 'ok' || b.status !== 'ok') { expect(b.status).toBe(a.status); return; }
      expect(b.clusters).toBe(a.clusters);
      a.covariance.forEach((v, k) => { if (!Number.isNaN(v)) expect(Math.abs(v - b.covariance[k]!)).toBeLessThan(1e-7 * (1 + Math.abs(v))); });
    }));
  });

  it('follow-up cut into pieces, joined by origin, has the errors of the whole', () => {
    fc.assert(fc.property(patients(), fc.subarray([2, 5, 7, 9], { minLength: 1 }), (list, cuts) => {
      const cells = cellsFrom(list), design = designFrom(list), split = splitTime(cells, cuts);
      const whole = cox(cells, design), pieces = cox(split, { ...design, pattern: Int32Array.from(split.origin, (i) => design.pattern[i]!) });
      if (whole.status !== 'ok' || pieces.status !== 'ok') { expect(pieces.status).toBe(whole.status); return; }
      if (whole.maximum.diverging.size > 0) return; // beside a ratio without bound, errors hang on how near the search came to the limit
      const [a, b] = [robustCovariance(whole), robustCovariance(pieces, { origin: split.origin })];
      if (a.status !== 'ok' || b.status !== 'ok') { expect(b.status).toBe(a.status); return; }
      expect(b.clusters).toBe(a.clusters);
      a.covariance.forEach((v, k) => { if (!Number.isNaN(v)) expect(Math.abs(v - b.covariance[k]!)).toBeLessThan(1e-7 * (1 + Math.abs(v))); });
    }));
  });
});
