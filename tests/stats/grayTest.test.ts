import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { grayTest, type GrayTest } from '@/lib/stats/grayTest';
import { cellsOf, cellsOfProcedures, fixture, groupOf, oneByOne, procedures, type Rows } from './rows';

const ok = (result: ReturnType<typeof grayTest>): GrayTest => {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
};

describe('against cmprsk, written by the author of the test', () => {
  const { cases } = fixture('grayTest') as {
    cases: { name: string; input: Rows & { group: number[] }; expected: { cause: number; chisq: number; p: number; df: number }[] }[];
  };
  it.each(cases)('$name', ({ input, expected }) => {
    for (const { cause, chisq, p, df } of expected) {
      const test = ok(grayTest(cellsOf(input), Int32Array.from(input.group), Math.max(...input.group) + 1, cause));
      expect(test.chisq / chisq).toBeCloseTo(1, 10);
      expect(test.p).toBeCloseTo(p, 10);
      expect(test.df).toBe(df);
    }
  });
});

describe('laws', () => {
  const groups = 3;
  const settled = procedures({ groups, late: false, minLength: 5 });
  const same = (one: ReturnType<typeof grayTest>, other: ReturnType<typeof grayTest>): void => {
    expect(other.status).toBe(one.status);
    if (one.status === 'ok' && other.status === 'ok') {
      expect(other.df).toBe(one.df);
      expect(other.p).toBeCloseTo(one.p, 8);
    }
  };

  it('does not know the order of the cells, nor how procedures were gathered into them', () => {
    fc.assert(fc.property(settled, (list) => {
      const other = oneByOne(list).reverse();
      same(grayTest(cellsOfProcedures(list), groupOf(list), groups), grayTest(cellsOfProcedures(other), groupOf(other), groups));
    }));
  });

  it('does not know the names of the groups, nor of the other causes', () => {
    fc.assert(fc.property(settled, (list) => {
      const other = list.map((p) => ({ ...p, group: (p.group + 1) % groups, event: [0, 1, 3, 2][p.event]! }));
      same(grayTest(cellsOfProcedures(list), groupOf(list), groups), grayTest(cellsOfProcedures(other), groupOf(other), groups));
    }));
  });

  it('finds nothing between a group and its double', () => {
    fc.assert(fc.property(procedures({ groups: 1, late: false, minLength: 5 }), (list) => {
      const both = [...list, ...list.map((p) => ({ ...p, group: 1, count: 2 * p.count }))];
      const test = grayTest(cellsOfProcedures(both), groupOf(both), 2);
      if (test.status === 'ok') expect(test.chisq).toBeCloseTo(0, 8);
    }));
  });
});

describe('at the edges', () => {
  const twoGroups = Int32Array.of(0, 0, 1, 1);
  it.each([
    { of: 'no events of the cause', rows: { exit: [1, 2, 1, 2], event: [0, 2, 2, 0] }, reason: 'no events of this cause' },
    { of: 'the other group gone before the first', rows: { exit: [3, 4, 1, 2], event: [1, 1, 0, 2] }, reason: 'at every event of this cause only one group was at risk' },
    { of: 'delayed entry', rows: { exit: [1, 2, 3, 4], event: [1, 0, 1, 0], entry: [-Infinity, 0, -Infinity, -Infinity] }, reason: 'some follow-up begins after the day of surgery' },
    { of: 'everyone revised at once', rows: { exit: [0, 0, 0, 0], event: [1, 1, 1, 1] }, reason: 'the groups were not at risk at the same times' },
  ])('$of', ({ rows, reason }) => {
    expect(grayTest(cellsOf(rows), twoGroups, 2)).toEqual({ status: 'notEstimable', reason });
  });

  it('an empty group is left out of the degrees of freedom', () => {
    const rows = cellsOf({ exit: [1, 2, 1, 3], event: [1, 0, 2, 1], count: [5, 20, 4, 16] });
    const [three, two] = [grayTest(rows, Int32Array.of(0, 0, 2, 2), 3), grayTest(rows, twoGroups, 2)];
    expect(three).toEqual(two);
    expect(two).toMatchObject({ df: 1 });
  });
});
