import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkCells } from '@/lib/stats/checkCells';
import { cumulativeEvents, eventTable, eventTables, numberAtRisk } from '@/lib/stats/eventTable';
import { cellsOf, cellsOfProcedures, groupOf, procedures, type Procedure } from './rows';

describe('counting follow-up', () => {
  it('keeps revisions on the day of surgery, and counts events before censorings of the same day', () => {
    const table = eventTable(cellsOf({ exit: [0, 0, 5, 5, 9], event: [1, 0, 1, 0, 2] }));
    expect(table).toMatchObject({
      procedures: 5,
      time: Float64Array.of(0, 5, 9), events: Float64Array.of(1, 1, 0), censored: Float64Array.of(1, 1, 0), competing: Float64Array.of(0, 0, 1),
      atRisk: Float64Array.of(5, 3, 1),
    });
  });

  it('counts those who enter late from the day after their entry', () => {
    const table = eventTable(cellsOf({ entry: [-Infinity, 5, 4], exit: [5, 9, 6], event: [1, 1, 0], count: [2, 3, 4] }));
    expect(Array.from(table.time)).toEqual([5, 6, 9]);
    expect(Array.from(table.atRisk)).toEqual([6, 7, 3]);
    expect([0, 4, 4.5, 5, 5.5, 6, 6.5, 9, 10].map((t) => numberAtRisk(table, t))).toEqual([2, 2, 6, 6, 7, 7, 3, 3, 0]);
    expect([0, 5, 8, 9].map((t) => cumulativeEvents(table, t))).toEqual([0, 2, 2, 5]);
  });

  it('accepts times that are not whole', () => {
    const table = eventTable(cellsOf({ exit: [2.5, 0.1, 0.25, 0.1], event: [1, 1, 0, 0] }));
    expect(Array.from(table.time)).toEqual([0.1, 0.25, 2.5]);
    expect(Array.from(table.atRisk)).toEqual([4, 2, 1]);
  });

  it('is empty without procedures', () => {
    expect(eventTable(cellsOf({ exit: [], event: [] }))).toMatchObject({ procedures: 0, time: new Float64Array(0) });
  });

  it.each([
    ['exit must be a finite number of at least 0: -1', { exit: [-1], event: [1] }],
    ['exit must be a finite number of at least 0: NaN', { exit: [NaN], event: [1] }],
    ['count must be a whole number above 0: 0', { exit: [1], event: [1], count: [0] }],
    ['count must be a whole number above 0: 1.5', { exit: [1], event: [1], count: [1.5] }],
    ['entry must be before exit (3): 3', { exit: [3], event: [1], entry: [3] }],
  ])('refuses cells where %s, and names the cell', (message, rows) => {
    expect(() => { checkCells(cellsOf(rows)); }).toThrow(`cell 0: ${message}`);
  });
  it('refuses columns of unlike length', () => {
    expect(() => { checkCells({ ...cellsOf({ exit: [1, 2], event: [1, 0] }), cluster: Int32Array.of(1) }); }).toThrow('cluster must have one entry per cell (2): 1');
  });

  const slowly = (list: readonly Procedure[], t: number, of: (p: Procedure) => boolean): number => list.filter((p) => of(p) && t === p.exit).reduce((n, p) => n + p.count, 0);
  it('agrees with counting one by one', () => {
    fc.assert(fc.property(procedures(), (list) => {
      const table = eventTable(cellsOfProcedures(list));
      expect(Array.from(table.time)).toEqual([...new Set(list.map((p) => p.exit))].sort((a, b) => a - b));
      table.time.forEach((t, j) => {
        expect(table.events[j]).toBe(slowly(list, t, (p) => p.event === 1));
        expect(table.competing[j]).toBe(slowly(list, t, (p) => p.event > 1));
        expect(table.censored[j]).toBe(slowly(list, t, (p) => p.event === 0));
        expect(table.atRisk[j]).toBe(list.filter((p) => p.entry < t && p.exit >= t).reduce((n, p) => n + p.count, 0));
        expect(numberAtRisk(table, t)).toBe(table.atRisk[j]);
      });
    }));
  });

  it('gives the same table in any order, in seconds or days, and for cells that are merged', () => {
    fc.assert(fc.property(procedures(), fc.infiniteStream(fc.nat()), (list, keys) => {
      const table = eventTable(cellsOfProcedures(list));
      const shuffled = list.map((p) => ({ p, key: keys.next().value as number })).sort((a, b) => a.key - b.key).map(({ p }) => p);
      expect(eventTable(cellsOfProcedures(shuffled))).toEqual(table);
      const fraction = list.map((p) => ({ ...p, exit: p.exit / 7, entry: p.entry / 7 })); // not whole: sorted, not counted
      expect(eventTable(cellsOfProcedures(fraction))).toEqual({ ...table, time: table.time.map((t) => t / 7), entryTime: table.entryTime.map((t) => t / 7) });
      expect(eventTable(cellsOfProcedures(list.flatMap((p) => Array.from({ length: p.count }, () => ({ ...p, count: 1 })))))).toEqual(table);
    }));
  });

  it('splits into the tables of the groups', () => {
    fc.assert(fc.property(procedures({ groups: 3 }), (list) => {
      const tables = eventTables(cellsOfProcedures(list), groupOf(list), 3);
      tables.forEach((table, g) => { expect(table).toEqual(eventTable(cellsOfProcedures(list.filter((p) => p.group === g)))); });
    }));
  });
});
