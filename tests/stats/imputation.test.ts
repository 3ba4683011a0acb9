import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Cells, NotEstimable } from '@/lib/stats/cells';
import { cox, type CoxFit } from '@/lib/stats/cox/cox';
import { chainedEquations } from '@/lib/stats/imputation/chainedEquations';
import { outcomePredictors } from '@/lib/stats/imputation/outcomePredictors';
import { poolHazardRatios, type PooledHazardRatio } from '@/lib/stats/imputation/poolHazardRatios';
import { RandomNumbers } from '@/lib/stats/imputation/random';
import { rubin } from '@/lib/stats/imputation/rubin';
import { singleProcedures } from '@/lib/stats/imputation/singleProcedures';
import type { FactorVariable, Variable } from '@/lib/stats/imputation/variable';
import { cellsOf } from './rows';

function ok<T extends { status: 'ok' }>(result: T | NotEstimable): T {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}
const ordered = (name: string, levels: number, value: Iterable<number>): FactorVariable => ({ kind: 'ordered', name, levels, value: Int32Array.from(value) });

/** 4,000 procedures; grade (0–2) and the new design raise the hazard by known ratios; the grade is lost most often for early revisions of the new design. */
function registry(): { cells: Cells; design: Int32Array; grade: Int32Array; recorded: Int32Array } {
  const random = new RandomNumbers(2024, 1), n = 4000, design = new Int32Array(n), grade = new Int32Array(n), exit: number[] = [], event: number[] = [];
  for (let i = 0; i < n; ++i) {
    design[i] = Number(random.uniform() < 0.5);
    const u = random.uniform() + 0.2 * design[i]!;
    grade[i] = u < 0.4 ? 0 : u < 0.8 ? 1 : 2;
    const time = -Math.log(random.uniform()) / (0.04 * Math.exp(truth.design * design[i]! + truth.grade * grade[i]!)), end = 5 + 5 * random.uniform();
    exit.push(Math.ceil(365 * Math.min(time, end)));
    event.push(Number(time < end));
  }
  const recorded = grade.map((g, i) => (random.uniform() < (event[i] === 1 && design[i] === 1 ? 0.7 : 0.15) ? -1 : g));
  return { cells: cellsOf({ exit, event }), design, grade, recorded };
}
const truth = { design: 0.3, grade: 0.7 };
const coxOf = (cells: Cells, design: ArrayLike<number>, grade: ArrayLike<number>): CoxFit => ok(cox(cells, {
  names: ['new design', 'grade'], pattern: Int32Array.from(cells.exit.keys()), values: Float64Array.from({ length: 2 * cells.exit.length }, (_, k) => (k % 2 === 0 ? design : grade)[k >> 1]!),
}));
const pooledOf = (fits: readonly CoxFit[]): PooledHazardRatio[] => poolHazardRatios(fits).map((r) => { if (r.status !== 'ok') throw new Error(r.reason); return r; });

describe('imputation where grades are lost most where revisions are', () => {
  const { cells, design, grade, recorded } = registry(), rows = [...recorded.keys()].filter((i) => recorded[i]! >= 0);
  const pick = (i: readonly number[], of: ArrayLike<number>): number[] => i.map((k) => of[k]!);
  const complete = coxOf(cellsOf({ exit: pick(rows, cells.exit), event: pick(rows, cells.event) }), pick(rows, design), pick(rows, recorded)), all = coxOf(cells, design, grade);
  const variables: Variable[] = [ordered('design', 2, design), ordered('grade', 3, recorded)];
  const { completed, missing } = ok(chainedEquations(variables, cells.count, outcomePredictors(cells), { seed: 9, imputations: 20 }));
  const pooled = pooledOf(completed.map(([, filled]) => coxOf(cells, design, filled!.value)));

  it('recovers what was planted, which the complete cases miss by far', () => {
    const away = (fit: CoxFit): number => (fit.coefficient[0]! - truth.design) / Math.sqrt(fit.covariance[0]!);
    expect(away(complete)).toBeLessThan(-6);
    pooled.forEach(({ coefficient, standardError }, j) => { expect(Math.abs(coefficient - [truth.design, truth.grade][j]!)).toBeLessThan(2 * standardError); });
  });

  it('comes near the answer that all grades would give, with limits wider by what is missing', () => {
    pooled.forEach(({ coefficient, standardError, fractionMissing }, j) => {
      const full = Math.sqrt(all.covariance[3 * j]!);
      expect(Math.abs(coefficient - all.coefficient[j]!)).toBeLessThan(2.5 * Math.sqrt(standardError ** 2 - full ** 2));
      expect(standardError).toBeGreaterThan(full);
      expect(fractionMissing).toBeGreaterThan(0.03);
    });
  });

  it('leaves what is recorded, counts what is not, and draws levels as they were', () => {
    expect(missing).toEqual([0, 4000 - rows.length]);
    const lost = [...recorded.keys()].filter((i) => recorded[i]! < 0), share = (of: ArrayLike<number>, level: number): number => lost.filter((i) => of[i] === level).length / lost.length;
    for (const [, filled] of completed) rows.forEach((i) => { expect(filled!.value[i]).toBe(recorded[i]); });
    for (const level of [0, 1, 2]) {
      const p = share(grade, level), drawn = completed.reduce((sum, [, filled]) => sum + share(filled!.value, level), 0) / completed.length;
      expect(Math.abs(drawn - p)).toBeLessThan(4 * Math.sqrt((p * (1 - p)) / lost.length));
    }
  });

  it('is the same again with the same seed, and another with another', () => {
    const again = (seed: number) => ok(chainedEquations(variables, cells.count, outcomePredictors(cells), { seed, imputations: 2 })).completed;
    expect(again(9)).toEqual(completed.slice(0, 2));
    expect(again(10)).not.toEqual(completed.slice(0, 2));
  });
});

describe('imputation at the edges', () => {
  const cells = cellsOf({ exit: [1, 2, 3, 4, 5, 6, 7, 8], event: [1, 0, 1, 0, 2, 0, 1, 0] }), outcome = outcomePredictors(cells);
  const run = (...variables: Variable[]) => chainedEquations(variables, cells.count, outcome, { seed: 3, imputations: 5 });

  it('a level that no one has is not drawn; one that all have is drawn for all', () => {
    for (const [rare, only] of ok(run(ordered('grade', 4, [0, 3, 0, 3, -1, -1, 0, 3]), ordered('side', 2, [1, 1, -1, 1, 1, -1, 1, 1]))).completed) {
      expect([...rare!.value].every((v) => v === 0 || v === 3)).toBe(true);
      expect([...only!.value]).toEqual([1, 1, 1, 1, 1, 1, 1, 1]);
    }
  });

  it('perfect prediction has an end', () => {
    const { completed } = ok(run(ordered('side', 2, [0, 0, 0, 0, 1, 1, 1, 1]), { kind: 'nominal', name: 'class', levels: 3, value: Int32Array.from([0, 0, 0, -1, 1, 2, 1, -1]) }));
    completed.forEach(([, own]) => { expect([0, 1, 2]).toContain(own!.value[7]); });
    expect(ok(run(ordered('side', 2, [0, 0, 0, 0, 1, 1, 1, 1]), ordered('sex', 2, [0, 0, 0, -1, 1, 1, 1, -1]))).status).toBe('ok');
  });

  it('measurements are such as occur', () => {
    const value = Float64Array.from([22, 31, NaN, 28, 25, 35, NaN, 30]);
    for (const [own] of ok(run({ kind: 'measured', name: 'bmi', value })).completed) own!.value.forEach((v) => { expect([22, 25, 28, 30, 31, 35]).toContain(v); });
  });

  it('nothing missing: every data set is the same', () => {
    const variable = ordered('side', 2, [0, 1, 0, 1, 0, 1, 0, 1]);
    for (const set of ok(run(variable)).completed) expect(set).toEqual([variable]);
  });

  it('a variable that no one has is no answer, and several procedures in a row with a missing value are refused', () => {
    expect(run(ordered('grade', 2, [-1, -1, -1, -1, -1, -1, -1, -1]))).toEqual({ status: 'notEstimable', reason: 'grade is not recorded for anyone' });
    expect(() => chainedEquations([ordered('grade', 2, [0, -1])], Float64Array.from([1, 2]), [], { seed: 1 })).toThrow('row 1: count must be 1 where grade is missing: 2');
  });

  it('cells with a missing value are taken apart, the others stay', () => {
    const { origin, count } = singleProcedures(Float64Array.from([3, 2, 5]), (i) => i === 1);
    expect([...origin]).toEqual([0, 1, 1, 2]);
    expect([...count]).toEqual([3, 1, 1, 5]);
  });

  it('knows of what competes, and of the hazard since entry', () => {
    const [event, hazard, competing, other] = outcomePredictors(cellsOf({ exit: [1, 2, 3], entry: [-Infinity, -Infinity, 1], event: [1, 2, 0] }));
    expect([[...event!], [...hazard!], [...competing!], [...other!]]).toEqual([[1, 0, 0], [0.5, 0.5, 0], [0, 1, 0], [0, 0.5, 0.5]]);
  });
});

describe('Rubin’s rules', () => {
  it('with equal estimates are those of one data set, and never narrower than the mean', () => {
    const same = rubin([0.5, 0.5], [0.25, 0.25]);
    expect(same).toMatchObject({ estimate: 0.5, df: Infinity, fractionMissing: 0 });
    expect(same.upper).toBeCloseTo(0.5 + 1.959963984540054 * 0.5, 12);
    fc.assert(fc.property(fc.array(fc.record({ b: fc.double({ min: -3, max: 3, noNaN: true }), v: fc.double({ min: 0.01, max: 2, noNaN: true }) }), { minLength: 2, maxLength: 12 }), (sets) => {
      const pooled = rubin(sets.map((s) => s.b), sets.map((s) => s.v), 50);
      expect(pooled.standardError ** 2).toBeGreaterThanOrEqual(pooled.within * (1 - 1e-12));
      expect(pooled.df).toBeLessThanOrEqual(50);
      expect(pooled.fractionMissing).toBeGreaterThanOrEqual(0);
      expect(pooled.fractionMissing).toBeLessThanOrEqual(1);
      expect(pooled.lower < pooled.estimate && pooled.estimate < pooled.upper).toBe(true);
    }));
  });

  it('one data set is refused; a coefficient missing in one is missing', () => {
    expect(() => rubin([1], [1])).toThrow('two or more estimates');
    const cells = cellsOf({ exit: [1, 2, 3, 4], event: [1, 1, 1, 0] }), fit = (x: number[]) => ok(cox(cells, { names: ['x'], values: Float64Array.from(x), pattern: Int32Array.from([0, 1, 2, 3]) }));
    expect(poolHazardRatios([fit([0, 1, 0, 1]), fit([1, 1, 1, 0])])[0]).toMatchObject({ status: 'notEstimable', name: 'x' });
  });
});
