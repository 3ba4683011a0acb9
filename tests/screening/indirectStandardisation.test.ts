import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { expectedRevisions } from '@/lib/screening/standardisation/expectedRevisions';
import { indirectStandardisation, type UnitRatio } from '@/lib/screening/standardisation/indirectStandardisation';
import { midPLimits, poissonTails } from '@/lib/screening/standardisation/midP';
import { referenceHazard } from '@/lib/screening/standardisation/referenceHazard';
import { standardisedRatio } from '@/lib/screening/standardisation/standardisedRatio';
import type { Cells, Design } from '@/lib/stats/cells';
import { cox } from '@/lib/stats/cox/cox';
import { poissonLimits } from '@/lib/stats/rates';
import { expectClose } from '../reference/closeTo';
import { designOf } from '../reference/fixture';
import { cellsFrom, designFrom, estimated, oneColumn, patients, type Patient } from '../stats/designs';
import { cellsOf, fixture } from '../stats/rows';

type Column = 'exit' | 'event' | 'age' | 'sex' | 'ecog' | 'unit' | 'entry';
type UnitColumn = 'procedures' | 'observed' | 'expected' | 'lower' | 'upper' | 'midLower' | 'midUpper' | 'higher' | 'higherMid' | 'fewer' | 'fewerMid';
interface ByUnit { readonly name: string; readonly late: boolean; readonly share: number; readonly units: Record<UnitColumn, number[]> & { readonly leftOut: boolean[] } }
type Cases = [{ input: Record<Column, number[]> }, ByUnit, ByUnit, ByUnit, ByUnit, { observed: number[]; lower: number[]; upper: number[] }];
const [{ input }, byCox, withinSex, late, nelsonAalen, midP] = (fixture('indirectStandardisation') as { cases: Cases }).cases;

const noCovariates: Design = { names: [], values: new Float64Array(0), pattern: new Int32Array(0) };
const { exit, event, age, sex, ecog, entry } = input, unit = Int32Array.from(input.unit), units = 1 + Math.max(...unit);

describe('observed and expected by unit, against R survival', () => {
  // Loprinzi et al. 1994, J Clin Oncol 12:601: survival with advanced lung cancer, by institution.
  it.each([
    { ...byCox, cells: cellsOf({ exit, event }), design: designOf({ age, sex, ecog }) },
    { ...withinSex, cells: cellsOf({ exit, event, stratum: sex }), design: designOf({ age, ecog }) },
    { ...late, cells: cellsOf({ exit, event, entry }), design: designOf({ age, sex }) },
    { ...nelsonAalen, cells: cellsOf({ exit, event, stratum: sex }), design: noCovariates },
  ])('$name', ({ cells, design, share, units: recorded }) => {
    const found = indirectStandardisation(cells, design, unit, units, { largestShare: share });
    const ratios = found.map(({ standardised }) => estimated(standardised));
    expect(found.map((u) => u.procedures)).toEqual(recorded.procedures);
    expect(found.map((u) => u.leftOut)).toEqual(recorded.leftOut);
    expect(ratios.map((r) => r.observed)).toEqual(recorded.observed);
    expectClose(ratios.map((r) => r.expected), recorded.expected);
    expectClose(ratios.map((r) => r.lower), recorded.lower);
    expectClose(ratios.map((r) => r.upper), recorded.upper);
    expectClose(ratios.map((r) => r.midP.lower), recorded.midLower);
    expectClose(ratios.map((r) => r.midP.upper), recorded.midUpper);
    expectClose(ratios.map((r) => r.p.higher.exact), recorded.higher);
    expectClose(ratios.map((r) => r.p.higher.midP), recorded.higherMid);
    expectClose(ratios.map((r) => r.p.lower.exact), recorded.fewer);
    expectClose(ratios.map((r) => r.p.lower.midP), recorded.fewerMid);
  });

  it('mid-P limits', () => {
    midP.observed.forEach((observed, k) => {
      const { lower, upper } = midPLimits(observed);
      expectClose([lower, upper], [midP.lower[k]!, midP.upper[k]!], 1e-9);
    });
  });
});

describe('the ratio of observed to expected', () => {
  it('five revised where ten are expected', () => {
    const { ratio, lower, upper } = estimated(standardisedRatio(5, 10));
    expect(ratio).toBe(0.5);
    expectClose([lower, upper], [poissonLimits(5).lower / 10, poissonLimits(5).upper / 10], 1e-15);
  });

  it('nothing expected: no ratio', () => {
    expect(standardisedRatio(0, 0)).toEqual({ status: 'notEstimable', reason: 'no revisions are expected' });
  });

  it('refuses numbers that are none', () => {
    expect(() => standardisedRatio(1.5, 2)).toThrow('observed must be a whole number of at least 0: 1.5');
    expect(() => standardisedRatio(1, -2)).toThrow('expected must be a finite number of at least 0: -2');
  });

  it('limits nest: mid-P within exact, 95 % within 99.8 %, around the ratio', () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 400 }), fc.double({ min: 0.01, max: 400, noNaN: true }), (observed, expected) => {
      const usual = estimated(standardisedRatio(observed, expected)), wide = estimated(standardisedRatio(observed, expected, 0.998));
      expect(usual.midP.lower).toBeGreaterThanOrEqual(usual.lower);
      expect(usual.midP.upper).toBeLessThan(usual.upper);
      expect(usual.midP.lower).toBeLessThanOrEqual(usual.ratio);
      expect(usual.midP.upper).toBeGreaterThan(usual.ratio);
      expect(wide.lower).toBeLessThanOrEqual(usual.lower);
      expect(wide.upper).toBeGreaterThan(usual.upper);
    }));
  });

  it('a limit is where the p-value is half of what the limits leave out', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 300 }), fc.constantFrom(0.9, 0.95, 0.998), (observed, confidence) => {
      const { lower, upper } = midPLimits(observed, confidence), exact = poissonLimits(observed, confidence), tail = (1 - confidence) / 2;
      expectClose([poissonTails(observed, lower).higher.midP, poissonTails(observed, upper).lower.midP], [tail, tail], 1e-10);
      expectClose([poissonTails(observed, exact.lower).higher.exact, poissonTails(observed, exact.upper).lower.exact], [tail, tail], 1e-10);
    }));
  });

  it('the two mid-P tails add up to 1', () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 300 }), fc.double({ min: 0.01, max: 300, noNaN: true }), (observed, expected) => {
      const { higher, lower } = poissonTails(observed, expected);
      expect(higher.midP + lower.midP).toBeCloseTo(1, 12);
    }));
  });
});

const unitOf = (list: readonly Patient[]): Int32Array => Int32Array.from(list, (p) => p.cluster);
const totals = (found: readonly UnitRatio[]): { observed: number; expected: number } => {
  const ratios = found.flatMap(({ standardised: s }) => (s.status === 'ok' ? [s] : []));
  return { observed: ratios.reduce((sum, r) => sum + r.observed, 0), expected: ratios.reduce((sum, r) => sum + r.expected, 0) };
};

describe('laws of indirect standardisation', () => {
  it('a reference that is all of the units expects as many revisions as there were', () => {
    fc.assert(fc.property(patients(), fc.boolean(), (list, adjusted) => {
      const found = indirectStandardisation(cellsFrom(list), adjusted ? designFrom(list) : noCovariates, unitOf(list).map(Math.abs), 6, { largestShare: 1 });
      fc.pre(found.some(({ standardised }) => standardised.status === 'ok'));
      const { observed, expected } = totals(found);
      expect(expected).toBeCloseTo(observed, 5);
    }));
  });

  it('the order of the cells changes nothing', () => {
    fc.assert(fc.property(patients(), (list) => {
      const ratios = (rows: readonly Patient[]) => indirectStandardisation(cellsFrom(rows), designFrom(rows), unitOf(rows), 6);
      const there = ratios(list), back = ratios(list.toReversed());
      there.forEach(({ standardised, ...rest }, u) => {
        const other = back[u]!;
        expect({ ...rest, ownShare: 0, notes: [] }).toEqual({ leftOut: other.leftOut, procedures: other.procedures, incomparable: other.incomparable, ownShare: 0, notes: [] });
        expect(other.standardised.status).toBe(standardised.status);
        if (standardised.status === 'ok' && other.standardised.status === 'ok') {
          expect(other.standardised.observed).toBe(standardised.observed);
          expectClose(other.standardised.expected, standardised.expected, 1e-5);
        }
      });
    }), { numRuns: 50 });
  });

  it('the unit of time changes nothing', () => {
    fc.assert(fc.property(patients(), (list) => {
      const cells = cellsFrom(list), inMonths: Cells = { ...cells, exit: cells.exit.map((t) => t * 30), entry: cells.entry!.map((t) => t * 30) };
      const of = (c: Cells) => totals(indirectStandardisation(c, designFrom(list), unitOf(list), 6, { largestShare: 1 }));
      expect(of(inMonths)).toEqual(of(cells));
    }), { numRuns: 50 });
  });
});

describe('who is held against whom', () => {
  // Four hospitals with ten procedures each, all followed for five years; hospital 0 has revised half of them, the others one each
  const hospital = Int32Array.from({ length: 40 }, (_, i) => Math.floor(i / 10));
  const revised = Array.from(hospital, (h, i) => Number(i % 10 < (h === 0 ? 5 : 1)));
  const cells = cellsOf({ exit: revised.map((r) => (r === 1 ? 400 : 1826)), event: revised });

  it('a hospital with a quarter of all procedures is held against the other three: 3 revised of 30', () => {
    const [own] = indirectStandardisation(cells, noCovariates, hospital, 4);
    expect(own).toMatchObject({ procedures: 10, ownShare: 0.25, leftOut: true, incomparable: { procedures: 0, observed: 0 } });
    expect(estimated(own!.standardised).observed).toBe(5);
    expect(estimated(own!.standardised).ratio).toBeCloseTo(5, 12);
  });

  it('or against all, itself included, where its share is small enough', () => {
    const [own] = indirectStandardisation(cells, noCovariates, hospital, 4, { largestShare: 0.3 });
    expect(own!.leftOut).toBe(false);
    expect(estimated(own!.standardised).expected).toBeCloseTo(2, 12); // 8 revised of 40
  });

  it('or against chosen peers only', () => {
    const inReference = Uint8Array.from(hospital, (h) => Number(h === 2));
    const [own] = indirectStandardisation(cells, noCovariates, hospital, 4, { inReference });
    expect(own).toMatchObject({ ownShare: 0, leftOut: false });
    expect(estimated(own!.standardised).expected).toBeCloseTo(1, 12);
  });

  it('follow-up beyond what the reference knows counts in neither number', () => {
    const [own] = indirectStandardisation(cells, noCovariates, hospital, 4, { until: 399 });
    expect(own!.standardised).toEqual({ status: 'notEstimable', reason: 'no revisions are expected' });
  });

  it('the only hospital has nobody to be held against', () => {
    const [own] = indirectStandardisation(cells, noCovariates, new Int32Array(40), 1);
    expect(own!.standardised).toEqual({ status: 'notEstimable', reason: 'there are no other procedures to compare with' });
  });

  it('without revisions in the reference nothing can be expected', () => {
    const none = { ...cells, event: cells.event.map((e, i) => (hospital[i] === 0 ? e : 0)) };
    expect(indirectStandardisation(none, noCovariates, hospital, 4)[0]!.standardised).toEqual({ status: 'notEstimable', reason: 'in the reference: no revisions' });
  });

  it('a unit without procedures says so', () => {
    expect(indirectStandardisation(cells, noCovariates, hospital, 5)[4]!.standardised).toEqual({ status: 'notEstimable', reason: 'no procedures' });
  });

  it('patients of a kind that no other hospital treats are set aside and counted', () => {
    const fracture = Array.from(hospital, (h, i) => Number(h === 0 && i < 4)); // four, all revised
    const [own] = indirectStandardisation(cells, oneColumn(fracture, 'acute fracture'), hospital, 4);
    expect(own!.incomparable).toEqual({ procedures: 4, observed: 4 });
    expect(estimated(own!.standardised)).toMatchObject({ observed: 1 });
    expect(estimated(own!.standardised).expected).toBeCloseTo(0.6, 12);
    expect(own!.notes).toContain('all procedures have the same value of acute fracture');
  });

  it('so are those of a kind that had no revision anywhere else', () => {
    const tumour = Array.from(hospital, (h, i) => Number(h === 0 ? i < 2 : i % 10 === 9)); // in the others three, none revised
    const [own] = indirectStandardisation(cells, oneColumn(tumour, 'tumour'), hospital, 4);
    expect(own!.incomparable).toEqual({ procedures: 2, observed: 2 });
    expect(estimated(own!.standardised).expected).toBeCloseTo(8 / 9, 12);
    expect(own!.notes).toContain('no revisions among the 3 procedures with tumour');
  });

  it('a covariate that sorts the revised from the others leaves no reference', () => {
    const order = Array.from(hospital, (h, i) => (h === 0 ? i : revised[i] === 1 ? 90 : 50 + (i % 10)));
    const [own] = indirectStandardisation(cells, oneColumn(order, 'age'), hospital, 4);
    expect(own!.standardised).toMatchObject({ status: 'notEstimable', reason: expect.stringMatching(/age.*leave it out of the reference or group it$/) as string });
  });

  it('so are procedures of a stratum that the reference does not have', () => {
    const stratum = Array.from(hospital, (h) => Number(h === 0));
    const [own] = indirectStandardisation({ ...cells, stratum: Int32Array.from(stratum) }, noCovariates, hospital, 4);
    expect(own!.standardised).toEqual({ status: 'notEstimable', reason: 'all its procedures are unlike any of the reference' });
  });

  it('a reference answers only for its own columns', () => {
    const fit = estimated(cox(cells, noCovariates, { ties: 'breslow' }));
    expect(() => expectedRevisions(estimated(referenceHazard(fit)), cells, oneColumn(revised, 'age'))).toThrow('columns must be those of the reference');
  });
});
