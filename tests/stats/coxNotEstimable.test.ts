import { describe, expect, it } from 'vitest';
import type { Design } from '@/lib/stats/cells';
import { cox } from '@/lib/stats/cox/cox';
import { hazardRatios } from '@/lib/stats/cox/hazardRatios';
import { estimated, oneColumn } from './designs';
import { cellsOf } from './rows';

/** Columns by name, a pattern per row. */
const designOf = (columns: Record<string, readonly number[]>): Design => {
  const names = Object.keys(columns), rows = Object.values(columns)[0]!.length;
  return {
    names,
    values: Float64Array.from({ length: rows * names.length }, (_, k) => columns[names[k % names.length]!]![Math.floor(k / names.length)]!),
    pattern: Int32Array.from({ length: rows }, (_, i) => i),
  };
};

// Eighteen procedures: pegged, keeled and metal-backed components in turn, and the patient's sex.
const exit = Array.from({ length: 18 }, (_, i) => i + 1), male = exit.map((t) => Number([1, 2, 4, 7, 8, 11, 13, 16, 18].includes(t)));
const keeled = exit.map((t) => Number(t % 3 === 2)), metalBacked = exit.map((t) => Number(t % 3 === 0));

describe('a term without an estimate says why, and the others keep theirs', () => {
  it('a design that nobody had revised', () => {
    const event = exit.map((t) => Number(t % 3 !== 0 && t % 5 !== 0));
    const fit = estimated(cox(cellsOf({ exit, event }), designOf({ keeled, 'metal-backed': metalBacked, male })));
    expect(fit.notEstimable.map((m) => m?.cause ?? null)).toEqual([null, 'noEvents', null]);
    expect(fit.notEstimable[1]!.reason).toBe('no revisions among the 6 procedures with metal-backed');
    // the limit: those procedures are not in any comparison, as if they were left out
    const others = <T>(v: readonly T[]) => v.filter((_, i) => metalBacked[i] === 0);
    const without = estimated(cox(cellsOf({ exit: others(exit), event: others(event) }), designOf({ keeled: others(keeled), male: others(male) })));
    expect(fit.coefficient[0]).toBeCloseTo(without.coefficient[0]!, 9);
    expect(fit.coefficient[2]).toBeCloseTo(without.coefficient[1]!, 9);
    expect(fit.covariance[8]).toBeCloseTo(without.covariance[3]!, 9);
    expect(fit.logLikelihood.fitted).toBeCloseTo(without.logLikelihood.fitted, 9);
  });

  it('no revisions in the reference group: every comparison with it fails, that of the sexes stands', () => {
    const event = exit.map((t) => Number(t % 3 !== 1 && t % 5 !== 0));
    const ratios = hazardRatios(estimated(cox(cellsOf({ exit, event }), designOf({ keeled, 'metal-backed': metalBacked, male }))));
    expect(ratios.map((r) => r.status)).toEqual(['notEstimable', 'notEstimable', 'ok']);
    expect(ratios[0]).toMatchObject({ cause: 'noEvents', others: [1], reason: 'no revisions among the 6 procedures of the reference level of keeled, metal-backed' });
  });

  it('two groups, none revised in the reference', () => {
    const [ratio] = hazardRatios(estimated(cox(cellsOf({ exit, event: keeled }), oneColumn(keeled, 'keeled'))));
    expect(ratio).toMatchObject({ status: 'notEstimable', name: 'keeled', reason: 'no revisions among the 12 procedures without keeled to compare with' });
  });

  it('perfect separation: all of one group are revised before any of the other', () => {
    const fit = estimated(cox(cellsOf({ exit: [1, 2, 3, 4, 5, 6], event: [1, 1, 1, 1, 1, 0] }), oneColumn([1, 1, 1, 0, 0, 0], 'keeled')));
    expect(fit.notEstimable[0]).toMatchObject({ cause: 'separated', reason: 'as long as procedures with keeled were at risk, every revision was among them, so the ratio has no bound' });
    expect(fit.coefficient[0]).toBeNaN();
    expect(fit.tests.wald).toEqual({ status: 'notEstimable', reason: 'no coefficient can be estimated' });
    expect(fit.tests.likelihoodRatio).toMatchObject({ status: 'ok', df: 1 }); // the likelihood has a bound, the ratio none
    expect(fit.logLikelihood.fitted).toBeCloseTo(-Math.log(3 * 2 * 1) - Math.log(3 * 2), 9); // the chances of this order within each group
  });

  it('age in the order of the revisions', () => {
    const fit = estimated(cox(cellsOf({ exit: [1, 2, 3, 4, 5], event: [1, 1, 1, 1, 1] }), oneColumn([80, 75, 71, 66, 60], 'age')));
    expect(fit.notEstimable[0]).toMatchObject({ cause: 'separated', reason: 'the revisions came strictly in the order of age, so the ratio has no bound' });
  });

  it('a level that a filter has emptied', () => {
    const fit = estimated(cox(cellsOf({ exit, event: exit.map((t) => t % 2) }), designOf({ male, keeled: exit.map(() => 0) })));
    expect(fit.notEstimable[1]).toMatchObject({ cause: 'constant', reason: 'all procedures have the same value of keeled' });
    expect(fit.tests.score).toMatchObject({ df: 1 });
  });

  it('a group that nobody followed to the first revision', () => {
    const fit = estimated(cox(cellsOf({ exit: [1, 2, 3, 4, 5], event: [0, 0, 1, 1, 0] }), designOf({ keeled: [1, 1, 0, 0, 0], male: [0, 1, 1, 0, 1] })));
    expect(fit.notEstimable[0]).toMatchObject({ cause: 'constant', reason: 'at every revision, all procedures at risk had the same keeled' });
  });

  it('columns that determine each other: the later one is dropped and its partners named', () => {
    const female = male.map((m) => 1 - m);
    const fit = estimated(cox(cellsOf({ exit, event: exit.map((t) => t % 2) }), designOf({ male, keeled, female })));
    expect(fit.notEstimable[2]).toMatchObject({ cause: 'collinear', others: [0], reason: 'female is already determined by male, so its own effect cannot be told apart' });
    expect(fit.notEstimable[0]).toBeNull();
  });
});

describe('no model at all', () => {
  it.each([
    ['no revisions', { exit: [1, 2, 3, 4], event: [0, 2, 0, 0] }],
    ['no procedures', { exit: [], event: [] }],
  ])('%s', (_, rows) => { expect(cox(cellsOf(rows), oneColumn(rows.exit.map((_t, i) => i % 2)))).toEqual({ status: 'notEstimable', reason: 'no revisions' }); });

  it('everybody revised on the day of surgery: nothing tells the groups apart', () => {
    const fit = estimated(cox(cellsOf({ exit: [0, 0, 0, 0], event: [1, 1, 1, 1] }), oneColumn([0, 0, 1, 1], 'keeled')));
    expect(estimated(hazardRatios(fit)[0]!)).toMatchObject({ coefficient: expect.closeTo(0, 12) as number }); // Efron: each as likely as the other to be first
  });

  it('a continuous covariate that sorts all revisions too finely to be followed to its limit', () => {
    const rows = { exit: [1, 2, 3, 4, 5], event: [1, 1, 1, 1, 1] }, x = [9000, 3.02, 3.01, 1, 0];
    expect(cox(cellsOf(rows), oneColumn(x, 'dose'))).toMatchObject({ status: 'notEstimable', reason: 'the revisions came strictly in the order of dose, so the model has no estimate; leave it out or group it' });
  });

  it.each([
    ['a missing value', { names: ['age'], values: Float64Array.of(60, NaN), pattern: Int32Array.of(0, 1) }, 'pattern 1: age must be finite: NaN'],
    ['a pattern that does not exist', { names: ['age'], values: Float64Array.of(60), pattern: Int32Array.of(0, 1) }, 'cell 1: pattern must be from 0 to 0: 1'],
    ['a cell without a pattern', { names: ['age'], values: Float64Array.of(60), pattern: Int32Array.of(0) }, 'pattern must have one entry per cell (2): 1'],
    ['an incomplete row', { names: ['age', 'male'], values: Float64Array.of(60, 1, 2), pattern: Int32Array.of(0, 0) }, 'values must have 2 columns in each row: 3 values'],
  ])('malformed design is refused: %s', (_, design, message) => { expect(() => cox(cellsOf({ exit: [1, 2], event: [1, 1] }), design)).toThrow(message); });
});

describe('cautions', () => {
  it('fewer than ten revisions per coefficient are noted', () => {
    const fit = estimated(cox(cellsOf({ exit, event: exit.map((t) => t % 2) }), designOf({ male, keeled })));
    expect(fit.notes).toEqual(['fewer than 10 revisions per coefficient (9 for 2): estimates and limits are unreliable']);
    const enough = estimated(cox(cellsOf({ exit, event: exit.map(() => 1), count: exit.map(() => 2) }), designOf({ male, keeled })));
    expect(enough.notes).toEqual([]);
  });
});
