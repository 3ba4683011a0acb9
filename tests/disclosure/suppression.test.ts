import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { audit, widthOf } from '@/lib/disclosure/audit';
import type { CountTable } from '@/lib/disclosure/countTable';
import { suppress } from '@/lib/disclosure/suppression';
import { byEnumeration, cheapest, crossTable, oneRow } from './bruteForce';

const intervals = (table: CountTable, hidden: readonly number[]) => [...audit(table, new Set(hidden), hidden)].map(([, { lower, upper }]) => [lower, upper]);
const hiddenIn = (table: CountTable, k: number) => [...suppress(table, k).hidden].sort((a, b) => a - b);

describe('what can be computed of a hidden count', () => {
  // worked by hand: with both margins told, x = the hidden 3 leaves 15 − x, 11 + … to the others of its rectangle, all of which must be 0 or more
  it('of one in a rectangle of four, the range that the rectangle allows', () => {
    const table = crossTable([[12, 3, 20], [8, 15, 30]]);
    expect(intervals(table, [1, 0, 3, 4])).toEqual([[0, 15], [0, 15], [5, 20], [3, 18]]);
    expect(intervals(table, [1]), 'alone it is simply subtracted').toEqual([[3, 3]]);
  });

  it.each([
    { story: 'one of a row is what is missing to the total', counts: [3, 12, 20], hidden: [0], expected: [[3, 3]] },
    { story: 'two of a row can each be all that they are together', counts: [3, 12, 20], hidden: [0, 1], expected: [[0, 15], [0, 15]] },
    { story: 'three of a row', counts: [1, 1, 6], hidden: [0, 1, 2], expected: [[0, 8], [0, 8], [0, 8]] },
  ])('$story', ({ counts, hidden, expected }) => { expect(intervals(oneRow(counts), hidden)).toEqual(expected); });

  it('of steps that only go down, what lies between the neighbours that are told', () => {
    // remaining 100, 97, 60: 3 and 37 left out; the middle one and both numbers left out are hidden
    const table: CountTable = { counts: [100, 97, 60, 3, 37], sums: [{ plus: [0], minus: [1, 3], total: 0 }, { plus: [1], minus: [2, 4], total: 0 }] };
    expect(intervals(table, [1, 3, 4])).toEqual([[60, 100], [0, 40], [0, 40]]);
  });

  const small = fc.integer({ min: 0, max: 6 });
  it('is what writing down every table gives', () => {
    fc.assert(fc.property(
      fc.integer({ min: 2, max: 3 }).chain((columns) => fc.array(fc.array(small, { minLength: columns, maxLength: columns }), { minLength: 2, maxLength: 3 })), fc.integer({ min: 1, max: 511 }),
      (rows, chosen) => {
        const table = crossTable(rows), hidden = table.counts.flatMap((_, at) => ((chosen >> at) % 2 === 1 ? [at] : [])).slice(0, 6);
        const slow = byEnumeration(table, new Set(hidden), 24);
        for (const [at, { lower, upper }] of audit(table, new Set(hidden), hidden)) expect([at, lower, upper]).toEqual([at, ...slow[at]!]);
      },
    ), { numRuns: 60 });
  });
});

describe('what is hidden so that no small count can be computed', () => {
  it('of the rectangle with a 3: the three that complete the cheapest rectangle', () => {
    expect(hiddenIn(crossTable([[12, 3, 20], [8, 15, 30]]), 5)).toEqual([0, 1, 3, 4]);
  });

  it.each([
    { story: 'nothing where no count is small', counts: [5, 12, 20], k: 5, hidden: [] },
    { story: 'the next smallest, where one is small', counts: [3, 12, 20, 7], k: 5, hidden: [0, 3] },
    { story: 'a zero hides nobody', counts: [3, 0, 20], k: 5, hidden: [0, 2] },
    { story: 'two small ones that are not enough together take a third', counts: [1, 2, 20, 9], k: 5, hidden: [0, 1, 3] },
    { story: 'two that are enough together hide each other', counts: [4, 3, 20], k: 5, hidden: [0, 1] },
    { story: 'more at a larger smallest count', counts: [4, 3, 20], k: 10, hidden: [0, 1, 2] },
  ])('$story', ({ counts, k, hidden }) => { expect(hiddenIn(oneRow(counts), k)).toEqual(hidden); });

  it('says which small count is given away by a total that is told, whatever is hidden', () => {
    expect(suppress(oneRow([3, 0, 0]), 5)).toEqual({ hidden: new Set([0]), givenAway: [0] });
  });

  it('of a count that is told nowhere, those that give it away', () => {
    // 20 procedures, 17 revised: the 3 unrevised are told nowhere and follow from the two
    const { hidden } = suppress({ counts: [20, 17, 3], sums: [{ plus: [0], minus: [1, 2], total: 0 }], untold: new Set([2]) }, 5);
    expect([...hidden]).toEqual([1]);
  });

  const counts = fc.oneof({ weight: 2, arbitrary: fc.integer({ min: 0, max: 4 }) }, { weight: 3, arbitrary: fc.integer({ min: 5, max: 40 }) });
  const cross = fc.tuple(fc.integer({ min: 2, max: 4 }), fc.integer({ min: 2, max: 5 })).chain(([rows, columns]) => fc.array(fc.array(counts, { minLength: columns, maxLength: columns }), { minLength: rows, maxLength: rows }));
  it('leaves every small count an interval at least as wide as the smallest count, by the linear programme', () => {
    fc.assert(fc.property(cross, fc.constantFrom(3, 5, 10), (rows, k) => {
      const table = crossTable(rows), { hidden, givenAway } = suppress(table, k), small = [...table.counts.keys()].filter((at) => table.counts[at]! > 0 && table.counts[at]! < k);
      for (const [at, interval] of audit(table, hidden, small)) if (!givenAway.includes(at)) expect(widthOf(interval), JSON.stringify({ rows, at })).toBeGreaterThanOrEqual(k);
      // given away only where hiding everything would not help
      for (const [, interval] of audit(table, new Set(table.counts.keys()), givenAway)) expect(widthOf(interval)).toBeLessThan(k);
    }), { numRuns: 150 });
  });

  it('costs little more than the cheapest choice there is, and in one row nothing more', () => {
    let paid = 0, due = 0;
    fc.assert(fc.property(fc.array(fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 3, maxLength: 3 }), { minLength: 2, maxLength: 2 }), (rows) => {
      const table = crossTable(rows), best = cheapest(table, 3, 27), { hidden, givenAway } = suppress(table, 3);
      if (best === null) { expect(givenAway.length).toBeGreaterThan(0); return; }
      const cost = [...hidden].filter((at) => !(table.counts[at]! > 0 && table.counts[at]! < 3)).reduce((sum, at) => sum + table.counts[at]! + 1, 0);
      expect(givenAway).toEqual([]);
      expect(cost).toBeGreaterThanOrEqual(best);
      paid += cost;
      due += best;
    }), { numRuns: 40, seed: 18 });
    expect(paid / due).toBeLessThan(1.2);
    fc.assert(fc.property(fc.array(counts.map((n) => Math.min(n, 12)), { minLength: 2, maxLength: 5 }), (row) => {
      const table = oneRow(row), best = cheapest(table, 5, 60), { hidden } = suppress(table, 5);
      const cost = [...hidden].filter((at) => !(row[at]! > 0 && row[at]! < 5)).reduce((sum, at) => sum + row[at]! + 1, 0);
      if (best !== null) expect(cost, JSON.stringify(row)).toBe(best);
    }), { numRuns: 30, seed: 18 });
  });
});
