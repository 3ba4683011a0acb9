import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Design } from '@/lib/stats/cells';
import { cox } from '@/lib/stats/cox/cox';
import { robustCovariance } from '@/lib/stats/cox/robust';
import { fineGray, type FineGrayFit } from '@/lib/stats/fineGray/fineGray';
import { designOf } from '../reference/fixture';
import { cellsOf, cellsOfProcedures, fixture, oneByOne, procedures, type Procedure, type Rows } from './rows';

const ok = (result: ReturnType<typeof fineGray>): FineGrayFit => {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
};

interface Case {
  name: string; ties: 'efron' | 'breslow'; cause: number;
  input: Rows & { covariates: Record<string, number[]>; censoringGroup?: number[] };
  expected: { coef: number | number[]; variance: number | number[][]; logLik: [number, number]; wald: number; crr?: { coef: number[]; standardError: number[] } };
}
const { cases } = fixture('fineGray') as { cases: Case[] };

describe('against finegray and coxph', () => {
  it.each(cases)('$name', ({ ties, cause, input, expected }) => {
    const { fit, robust } = ok(fineGray(cellsOf(input), designOf(input.covariates), { ties, cause, ...(input.censoringGroup && { censoringGroup: Int32Array.from(input.censoringGroup) }) }));
    const coef = [expected.coef].flat();
    coef.forEach((b, j) => { expect(fit.coefficient[j]! / b).toBeCloseTo(1, 9); });
    [expected.variance].flat(2).forEach((v, k) => { expect(robust.covariance[k]! / v).toBeCloseTo(1, 8); });
    expect(fit.logLikelihood.null / expected.logLik[0]).toBeCloseTo(1, 11);
    expect(fit.logLikelihood.fitted / expected.logLik[1]).toBeCloseTo(1, 11);
    expect(robust.wald).toMatchObject({ status: 'ok', df: coef.length });
    if (robust.wald.status === 'ok') expect(robust.wald.chisq / expected.wald).toBeCloseTo(1, 8);
  });
});

describe('against crr, which also allows for weights that are estimated', () => {
  it.each(cases.filter((c) => c.expected.crr))('$name: the same ratios, errors within a twentieth', ({ input, expected }) => {
    const { fit, robust } = ok(fineGray(cellsOf(input), designOf(input.covariates), { ties: 'breslow', ...(input.censoringGroup && { censoringGroup: Int32Array.from(input.censoringGroup) }) }));
    const { coef, standardError } = expected.crr!, columns = coef.length;
    coef.forEach((b, j) => { expect(fit.coefficient[j]).toBeCloseTo(b, 9); });
    standardError.forEach((e, j) => { expect(Math.abs(Math.sqrt(robust.covariance[j * columns + j]!) / e - 1)).toBeLessThan(0.05); });
  });
});

// Scrucca, Santucci & Aversa 2007, Bone Marrow Transplant 40:381 print −1.604 (0.640) by crr, whose Ĝ has events and censorings of a day together.
it('the patients in print, within what the convention for ties moves', () => {
  const { input } = cases.find((c) => c.name === 'transplants in print, cause 2, breslow')!;
  const { fit } = ok(fineGray(cellsOf(input), designOf(input.covariates), { ties: 'breslow', cause: 2 }));
  expect(Math.abs(fit.coefficient[0]! - -1.604)).toBeLessThan(0.005);
});

describe('laws', () => {
  const design = (list: readonly Procedure[]): Design => designOf({ group: list.map((p) => p.group), late: list.map((p, i) => (i % 3) / 2 + p.exit / 20) });
  const same = (one: ReturnType<typeof fineGray>, other: ReturnType<typeof fineGray>): void => {
    expect(other.status).toBe(one.status);
    if (one.status !== 'ok' || other.status !== 'ok') return;
    one.fit.coefficient.forEach((b, j) => { if (Math.abs(b) < 10) expect(other.fit.coefficient[j]).toBeCloseTo(b, 6); });
    expect(other.fit.logLikelihood.fitted).toBeCloseTo(one.fit.logLikelihood.fitted, 6);
  };

  it('is Cox’s model, robust errors and all, where nothing competes', () => {
    fc.assert(fc.property(procedures({ lastEvent: 1, minLength: 12 }), (list) => {
      const cells = cellsOfProcedures(list), one = fineGray(cells, design(list)), fit = cox(cells, design(list));
      if (one.status !== 'ok' || fit.status !== 'ok') return;
      expect(one.fit.coefficient).toEqual(fit.coefficient);
      expect(one.robust).toEqual(robustCovariance(fit));
    }));
  });

  it('is Cox’s model with the competing never leaving, where nobody is censored', () => {
    fc.assert(fc.property(procedures({ late: false, minLength: 12 }), (list) => {
      const complete = list.map((p) => ({ ...p, event: Math.max(p.event, 1) }));
      const forever = complete.map((p) => (p.event === 1 ? p : { ...p, exit: 99, event: 0 }));
      const one = fineGray(cellsOfProcedures(complete), design(list)), fit = cox(cellsOfProcedures(forever), design(list));
      expect(one.status).toBe(fit.status);
      if (one.status !== 'ok' || fit.status !== 'ok') return;
      fit.coefficient.forEach((b, j) => { if (Math.abs(b) < 10) expect(one.fit.coefficient[j]).toBeCloseTo(b, 6); });
    }));
  });

  it('does not know the order of the cells, nor how procedures were gathered into them', () => {
    fc.assert(fc.property(procedures({ late: false, minLength: 12 }), (list) => {
      const plain = (of: readonly Procedure[]) => designOf({ group: of.map((p) => p.group) });
      const apart = oneByOne(list).reverse();
      same(fineGray(cellsOfProcedures(list), plain(list)), fineGray(cellsOfProcedures(apart), plain(apart)));
    }));
  });

  it('does not know the competing causes from each other', () => {
    fc.assert(fc.property(procedures({ minLength: 12 }), (list) => {
      const other = list.map((p) => ({ ...p, event: [0, 1, 3, 2][p.event]! }));
      same(fineGray(cellsOfProcedures(list), design(list)), fineGray(cellsOfProcedures(other), design(list)));
    }));
  });
});

describe('at the edges', () => {
  const group = designOf({ model: [0, 0, 1, 1] });
  it.each([
    { of: 'no events of the cause', rows: { exit: [1, 2, 1, 2], event: [0, 2, 2, 0] }, reason: 'no events of this cause' },
    { of: 'one cluster', rows: { exit: [1, 2, 1, 2], event: [1, 0, 1, 2], cluster: [7, 7, 7, 7], count: [2, 9, 3, 9] }, reason: 'all procedures belong to one cluster' },
    {
      of: 'a gap in follow-up', rows: { exit: [1, 2, 6, 8], event: [2, 0, 1, 1], entry: [-Infinity, -Infinity, 4, 4] },
      reason: 'before some competing event nobody was followed who had entered earlier, so those gone cannot be weighted',
    },
  ])('$of', ({ rows, reason }) => {
    expect(fineGray(cellsOf(rows), group)).toEqual({ status: 'notEstimable', reason });
  });

  it('a model without revisions has no ratio, though its deaths count', () => {
    const { fit } = ok(fineGray(cellsOf({ exit: [1, 9, 2, 9], event: [1, 0, 2, 0], count: [5, 20, 5, 20] }), group));
    expect(fit.coefficient[0]).toBeNaN();
    expect(fit.notEstimable[0]).toMatchObject({ cause: 'noEvents', reason: 'no revisions among the 25 procedures with model' });
  });

  it('all on the day of surgery: one risk set, as an odds ratio would have it', () => {
    const { fit } = ok(fineGray(cellsOf({ exit: [0, 0, 0, 0], event: [1, 2, 1, 0], count: [1, 99, 2, 98] }), group, { ties: 'breslow' }));
    expect(fit.coefficient[0]).toBeCloseTo(Math.log(2), 10);
  });

  it('an empty group changes nothing', () => {
    const rows = { exit: [1, 2, 1, 2], event: [1, 0, 1, 2], count: [3, 30, 6, 25] };
    const { fit } = ok(fineGray(cellsOf(rows), designOf({ model: [0, 0, 1, 1], unused: [0, 0, 0, 0] })));
    expect(fit.notEstimable[1]).toMatchObject({ cause: 'constant' });
    expect(fit.coefficient[0]).toBeCloseTo(ok(fineGray(cellsOf(rows), group)).fit.coefficient[0]!, 10);
  });
});
