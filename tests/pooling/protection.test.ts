import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { groupSurvival } from '@/lib/analysis/groupSurvival';
import { Question } from '@/lib/contract/question';
import { coarseDays } from '@/lib/pooling/coarseDays';
import { curveBounds } from '@/lib/pooling/curveBounds';
import { poolCounts } from '@/lib/pooling/poolCounts';
import { protectedRegistry } from '@/lib/pooling/protectedRegistry';
import { cellColumns, cellsIn, type Cell, type ReducedRegistry } from '@/lib/pooling/reducedRegistry';
import { spreadCells } from '@/lib/pooling/spreadCells';

const horizonDays = 1000;
const ends = fc.record({ pattern: fc.integer({ min: 0, max: 5 }), exit: fc.integer({ min: 0, max: horizonDays }), event: fc.constantFrom(0, 0, 1), late: fc.boolean() });
/** Two groups and a factor of three levels. */
const registry = fc.array(ends, { minLength: 1, maxLength: 300 }).map((rows): ReducedRegistry => ({
  groups: ['a', 'b'],
  patterns: { group: [0, 0, 0, 1, 1, 1], factors: [{ kind: 'adjust', name: 'sex', keys: ['female', 'male'], level: [0, 1, null, 0, 1, null] }] },
  cells: cellColumns(rows.map(({ pattern, exit, event, late }): Cell => ({ pattern, exit, event, count: 1, after: exit - 1, entry: late && exit > 900 ? exit - 30 : -1 }))),
}));
const settings = fc.record({ stepDays: fc.constantFrom(1, 7, 30, 365), smallest: fc.constantFrom(2, 5, 10), horizonDays: fc.constant(horizonDays) });
const total = (cells: readonly Cell[]) => cells.reduce((sum, { count }) => sum + count, 0);

describe('what leaves a registry without leave to tell exact days', () => {
  it('has no small count, tells whom it leaves out, and loses nobody else', () => {
    fc.assert(fc.property(registry, settings, (all, days) => {
      const { coarse, exact, kept } = protectedRegistry(all, days), cells = cellsIn(coarse);
      for (const { count, after, exit } of cells) {
        expect(count).toBeGreaterThanOrEqual(days.smallest);
        expect(exit === horizonDays || (exit - after) % days.stepDays <= 1 || exit === horizonDays - 1).toBe(true);
      }
      const late = cellsIn(all).filter(({ entry }) => entry >= 0);
      expect(kept.lateEntryLeftOut ?? total(late)).toBe(total(late));
      if (kept.lateEntryLeftOut === null) expect(total(late)).toBeLessThan(days.smallest);
      const staying = cellsIn(all).filter(({ entry, pattern }) => entry < 0 && !kept.withheldGroups.includes(all.groups[all.patterns.group[pattern]!]!));
      for (const event of [0, 1]) for (const of of [coarse, exact]) expect(total(cellsIn(of).filter((cell) => cell.event === event))).toBe(total(staying.filter((cell) => cell.event === event)));
    }));
  });

  it('lies within the steps that it is told in', () => {
    fc.assert(fc.property(registry, settings, (all, days) => {
      const { exact, coarse } = protectedRegistry(all, days);
      for (const group of exact.patterns.group.keys()) for (const event of [0, 1]) {
        const days_ = cellsIn(exact).filter((cell) => cell.pattern === group && cell.event === event).flatMap(({ exit, count }) => Array<number>(count).fill(exit));
        const steps = cellsIn(coarse).filter((cell) => cell.pattern === group && cell.event === event);
        let at = 0;
        for (const { after, exit, count } of steps.sort((a, b) => a.exit - b.exit)) for (const day of days_.slice(at, at += count)) expect(day > after && day <= exit).toBe(true);
      }
    }));
  });

  it('bounds the estimates of the exact days, and its own estimates', () => {
    fc.assert(fc.property(registry, settings, fc.integer({ min: 0, max: horizonDays }), (all, days, day) => {
      const { exact, coarse } = protectedRegistry(all, days);
      const [bounds] = curveBounds(cellsIn(coarse), [day]);
      for (const cells of [cellsIn(exact), cellsIn(coarse).flatMap(spreadCells)]) {
        if (cells.length === 0) continue;
        const percent = percentOf(cells, day);
        expect(percent).toBeGreaterThanOrEqual(bounds!.lower - 1e-9);
        expect(percent).toBeLessThanOrEqual(bounds!.upper + 1e-9);
      }
    }), { numRuns: 500 });
  });

  it('has bounds that meet where days are known, late entry included', () => {
    fc.assert(fc.property(registry, fc.integer({ min: 0, max: horizonDays }), ({ cells }, day) => {
      const [bounds] = curveBounds(cellsIn({ cells }).filter(({ entry }) => entry < 0), [day]), own = cellsIn({ cells }).filter(({ entry }) => entry < 0);
      if (own.length > 0) expect([bounds!.lower, bounds!.upper].map((x) => x.toFixed(8))).toEqual([percentOf(own, day).toFixed(8), percentOf(own, day).toFixed(8)]);
      const [withLate] = curveBounds(cellsIn({ cells }), [day]), percent = percentOf(cellsIn({ cells }), day);
      if (Number.isFinite(percent)) expect(percent >= withLate!.lower - 1e-9 && percent <= withLate!.upper + 1e-9).toBe(true);
    }));
  });

  it('keeps the people who reach the horizon apart from those who left just before', () => {
    const cells = cellColumns([...Array.from({ length: 20 }, (_, i) => ({ exit: 900 + i })), ...Array.from({ length: 50 }, () => ({ exit: horizonDays }))]
      .map(({ exit }): Cell => ({ pattern: 0, entry: -1, after: exit - 1, exit, event: 0, count: 1 })));
    const coarse = cellsIn({ cells: coarseDays({ groups: ['a'], patterns: { group: [0], factors: [] }, cells }, { stepDays: 30, smallest: 5, horizonDays }) });
    expect(coarse.at(-1)).toMatchObject({ after: horizonDays - 1, exit: horizonDays, count: 50 });
    expect(coarse.length).toBe(2);
  });
});

function percentOf(cells: readonly Cell[], day: number): number {
  const columns = { exit: Float64Array.from(cells, ({ exit }) => exit), event: Uint8Array.from(cells, ({ event }) => event), count: Float64Array.from(cells, ({ count }) => count),
    entry: Float64Array.from(cells, ({ entry }) => (entry < 0 ? -Infinity : entry)) };
  const [{ km }] = groupSurvival(columns, new Int32Array(cells.length), ['all'], Question.parse({ largestStep: 0 })) as [ReturnType<typeof groupSurvival>[number]];
  const at = km.table.time.findLastIndex((time) => time <= day);
  return 100 * (1 - (at < 0 ? 1 : km.survival[at]!));
}

describe('pooling', () => {
  const part = (registry: string, of: ReducedRegistry, withheldGroups: readonly string[] = []) => ({ registry, reduced: of, withheldGroups });
  const ends200 = (group: number, every: number): Cell[] => Array.from({ length: 200 }, (_, i) => ({ pattern: group, entry: -1, after: i + 100, exit: i + 101, event: i % every === 0 ? 1 : 0, count: 1 }));
  const two: ReducedRegistry = { groups: ['all_poly_pegged', 'all_poly_keeled'], patterns: { group: [0, 1], factors: [] }, cells: cellColumns([...ends200(0, 10), ...ends200(1, 7)]) };
  const question = Question.parse({ cluster: 'none', adjust: ['sex'] });

  it('gives no adjusted ratio where a file lacks what is asked to adjust for, and the one within registries all the same', async () => {
    const result = await poolCounts([part('A', two), part('B', two)], question);
    if (result.status !== 'ok') throw new Error(result.reason);
    expect(result.adjusted).toEqual({ status: 'notEstimable', reason: 'not every file can be adjusted for what is asked: Sex' });
    expect(result.unadjusted).toMatchObject({ status: 'ok', adjustedFor: ['Registry (stratified)'], procedures: 800 });
  });

  it('shows no group that a registry withheld, and says who withheld it', async () => {
    const without: ReducedRegistry = { groups: ['all_poly_pegged'], patterns: { group: [0], factors: [] }, cells: cellColumns(ends200(0, 10)) };
    const result = await poolCounts([part('A', two), part('B', without, ['all_poly_keeled'])], question);
    if (result.status !== 'ok') throw new Error(result.reason);
    expect(result.groups.map(({ key, procedures }) => [key, procedures])).toEqual([['all_poly_pegged', 400]]);
    expect(result.notes.join(' ')).toContain('All-polyethylene keeled is not shown: B withheld it');
    expect((await poolCounts([part('B', { ...without, groups: [], patterns: { group: [], factors: [] }, cells: cellColumns([]) })], question)).status).toBe('empty');
  });
});
