import { describe, expect, it } from 'vitest';
import { codings } from '@/lib/cohort/covariate';
import type { CohortCells } from '@/lib/analysis/cohortCells';
import { completeCases } from '@/lib/analysis/completeCases';
import { continuousTerm, designMatrix, factorTerm } from '@/lib/analysis/designMatrix';
import { mergeCells } from '@/lib/analysis/mergeCells';
import { stratified } from '@/lib/analysis/strata';

// Three patterns: a woman of ASA grade 2, a man of grade 1, a man whose grade is not recorded.
const sex = Int32Array.of(0, 1, 1), asa = Int32Array.of(1, 0, -1);
const cohort: CohortCells = {
  cells: { exit: Float64Array.of(100, 200, 300, 400), event: Uint8Array.of(1, 0, 3, 1), count: Float64Array.of(1, 5, 2, 3), cluster: Int32Array.of(0, -1, -1, 0) },
  group: Int32Array.of(0, 1, 0, 0),
  pattern: Int32Array.of(0, 1, 2, 0),
  groupOfPattern: Int32Array.of(0, 1, 0),
};

describe('complete cases', () => {
  it('leaves out the cells that lack a covariate and counts their procedures', () => {
    const { cohort: complete, leftOut } = completeCases(cohort, [
      { covariate: 'sex', coding: codings.sex, codes: sex }, { covariate: 'asa', coding: codings.asa, codes: asa },
    ]);
    expect(leftOut).toEqual([{ covariate: 'ASA grade', missing: 2 }]);
    expect([...complete.cells.count]).toEqual([1, 5, 3]);
    expect([...complete.group]).toEqual([0, 1, 0]);
    expect([...complete.pattern]).toEqual([0, 1, 0]);
    expect([...complete.cells.cluster!]).toEqual([0, -1, 0]);
  });

  it('leaves all in where nothing is adjusted for', () => {
    expect(completeCases(cohort, [])).toEqual({ cohort, leftOut: [] });
  });
});

describe('cells that a model cannot tell apart', () => {
  const apart: CohortCells = {
    cells: {
      exit: Float64Array.of(5, 5, 5, 5, 5, 5), event: Uint8Array.of(0, 3, 1, 1, 0, 1), count: Float64Array.of(1, 2, 3, 4, 5, 6),
      entry: Float64Array.of(-Infinity, -Infinity, -Infinity, -Infinity, 2, -Infinity), cluster: Int32Array.of(-1, -1, -1, -1, -1, 0),
    },
    group: Int32Array.of(0, 0, 0, 1, 0, 0),
    pattern: Int32Array.of(0, 1, 1, 2, 0, 0),
    groupOfPattern: Int32Array.of(0, 0, 1),
  };

  it('are joined within the coarser pattern, but neither late entry nor clusters', () => {
    const { cells, group, pattern, groupOfPattern } = mergeCells(apart, apart.groupOfPattern);
    expect([...cells.count]).toEqual([3, 3, 5, 6, 4]);
    expect([...cells.event]).toEqual([0, 1, 0, 1, 1]);
    expect([...group]).toEqual([0, 0, 0, 0, 1]);
    expect([...pattern]).toEqual([0, 0, 0, 0, 1]);
    expect([...groupOfPattern]).toEqual([0, 1]);
  });

  it('are joined for competing events alone where patterns stay', () => {
    const { cells, pattern } = mergeCells({ ...apart, pattern: Int32Array.of(0, 0, 1, 2, 0, 0) }, Int32Array.of(0, 1, 2));
    expect([...cells.count]).toEqual([3, 5, 6, 3, 4]);
    expect([...pattern]).toEqual([0, 0, 0, 1, 2]);
  });
});

describe('strata', () => {
  it('are the combinations that occur, not recorded being a level like any other', () => {
    expect([...stratified(cohort, [sex, asa]).cells.stratum!]).toEqual([0, 1, 2, 0]);
    expect([...stratified(cohort, [sex]).cells.stratum!]).toEqual([0, 1, 1, 0]);
    expect(stratified(cohort, []).cells.stratum).toBeUndefined();
  });
});

describe('reference coding', () => {
  it('gives a factor a column per level but its reference, and a continuous covariate one', () => {
    const levels = [{ code: 0, level: 'female', name: 'Women' }, { code: 1, level: 'male', name: 'Men' }];
    const terms = [factorTerm('sex', sex, levels, 1), continuousTerm('age_linear', 'Age', (p) => [6.1, 7.2, 8.3][p]!)];
    expect(designMatrix(terms, cohort.pattern, 3)).toEqual({
      names: ['Women', 'Age'],
      values: Float64Array.of(1, 6.1, 0, 7.2, 0, 8.3),
      pattern: cohort.pattern,
    });
  });
});
