import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Cells, Design, NotEstimable } from '@/lib/stats/cells';
import { cox } from '@/lib/stats/cox/cox';
import { subgroupHazardRatios } from '@/lib/stats/cox/subgroupHazardRatios';
import { subset } from '@/lib/stats/subset';
import { cellsOf, cellsOfProcedures, procedures, type Procedure } from './rows';

function ok<T extends { status: 'ok' }>(result: T | NotEstimable): T {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}
const levels = ['under 65', '65 or over'];
/** Patterns: new design or not, times age. */
const design = (pattern: Int32Array): Design => ({ names: ['new design'], values: Float64Array.from([0, 1, 0, 1]), pattern });
const age = Int32Array.from([0, 0, 1, 1]);
const patternOf = (list: readonly Procedure[]): Int32Array => Int32Array.from(list, (p) => p.group + 2 * ((p.exit + p.count) % 2));

describe('hazard ratios within subgroups', () => {
  it('are those of the subgroups by themselves, where each has a baseline of its own', () => {
    fc.assert(fc.property(procedures({ minLength: 20 }), (list) => {
      const pattern = patternOf(list), cells: Cells = { ...cellsOfProcedures(list), stratum: pattern.map((p) => age[p]!) };
      const all = subgroupHazardRatios(cells, design(pattern), [0], age, levels);
      if (all.status !== 'ok') return;
      levels.forEach((_, l) => {
        const own = Int32Array.from(pattern.keys()).filter((i) => age[pattern[i]!] === l), ratio = all.subgroups[l]!.ratios[0]!;
        const alone = cox(subset(cells, own), design(own.map((i) => pattern[i]!)));
        if (alone.status !== 'ok' || alone.notEstimable[0]) { expect(ratio.status).toBe('notEstimable'); return; }
        if (ratio.status !== 'ok') throw new Error(ratio.reason);
        expect(ratio.coefficient).toBeCloseTo(alone.coefficient[0]!, 7);
        expect(ratio.standardError).toBeCloseTo(Math.sqrt(alone.covariance[0]!), 7);
      });
    }));
  });

  const exit = Array.from({ length: 24 }, (_, i) => i + 1), pattern = Int32Array.from(exit, (t) => (5 * t) % 4);
  const eventWhere = (holds: (pattern: number, time: number) => boolean): number[] => exit.map((t, i) => Number(holds(pattern[i]!, t)));

  it('differ no more than chance if they are the same, whichever way they are tested', () => {
    const { interaction, subgroups } = ok(subgroupHazardRatios(cellsOf({ exit, event: eventWhere(() => true) }), design(pattern), [0], age, levels));
    expect(ok(interaction.wald).p).toBeGreaterThan(0.1);
    expect(ok(interaction.wald).chisq).toBeCloseTo(ok(interaction.likelihoodRatio).chisq, 1);
    expect(subgroups.map((s) => [s.procedures, s.events])).toEqual([[12, 12], [12, 12]]);
  });

  it.each([
    { story: 'no young patient had a revision of the new design', holds: (p: number) => p !== 1, reason: 'no revisions with new design in this subgroup' },
    { story: 'no young patient had a revision of the reference design', holds: (p: number) => p !== 0, reason: 'no revisions in the reference group in this subgroup' },
  ])('$story', ({ holds, reason }) => {
    const { interaction, subgroups } = ok(subgroupHazardRatios(cellsOf({ exit, event: eventWhere(holds) }), design(pattern), [0], age, levels));
    expect(subgroups[0]!.ratios[0]).toEqual({ status: 'notEstimable', name: 'new design', reason });
    expect(subgroups[1]!.ratios[0]!.status).toBe('ok');
    expect(interaction.wald).toEqual({ status: 'notEstimable', reason: 'no two subgroups have an estimate' });
    expect(ok(interaction.likelihoodRatio).df).toBe(1); // which can be had even so
  });

  it.each([
    { story: 'the new design was never given to the young', missing: 1, reason: 'no procedures with new design in this subgroup' },
    { story: 'the young had nothing else', missing: 0, reason: 'no procedures of the reference group in this subgroup' },
  ])('$story', ({ missing, reason }) => {
    const kept = pattern.map((p) => (p === missing ? 3 : p));
    const { interaction, subgroups } = ok(subgroupHazardRatios(cellsOf({ exit, event: eventWhere(() => true) }), design(kept), [0], age, levels));
    expect(subgroups[0]!.ratios[0]).toEqual({ status: 'notEstimable', name: 'new design', reason });
    expect(interaction.likelihoodRatio).toEqual({ status: 'notEstimable', reason: 'no coefficient can be estimated' });
  });

  it('a reference group that was gone before the first revision is nothing to compare with, nor is another group in its place', () => {
    const three: Design = { names: ['new design', 'newest design'], values: Float64Array.from([0, 0, 1, 0, 0, 1, 0, 0, 1, 0, 0, 1]), pattern: Int32Array.from(exit, (t) => (t <= 2 ? 0 : 1 + ((3 * t) % 5))) };
    const { subgroups } = ok(subgroupHazardRatios(cellsOf({ exit, event: exit.map((t) => Number(t > 2)) }), three, [0, 1], Int32Array.from([0, 0, 0, 1, 1, 1]), levels));
    const reason = 'no revisions in the reference group in this subgroup';
    expect(subgroups[0]!.ratios).toEqual(['new design', 'newest design'].map((name) => ({ status: 'notEstimable', name, reason })));
    expect(subgroups[1]!.ratios.map((r) => r.status)).toEqual(['ok', 'ok']);
  });

  it('no revisions: no answer; an unrecorded subgroup: refused', () => {
    expect(subgroupHazardRatios(cellsOf({ exit, event: eventWhere(() => false) }), design(pattern), [0], age, levels)).toEqual({ status: 'notEstimable', reason: 'no revisions' });
    expect(() => subgroupHazardRatios(cellsOf({ exit, event: eventWhere(() => true) }), design(pattern), [0], Int32Array.from([0, 0, -1, 1]), levels))
      .toThrow('pattern 2: subgroup must be from 0 to 1: -1');
  });
});
