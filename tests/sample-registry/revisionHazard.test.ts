import { describe, expect, it } from 'vitest';
import { periodStarts } from '@/sample-registry/hazards';
import { RandomStream } from '@/sample-registry/random';
import { nextRevision, profileOf } from '@/sample-registry/revisionHazard';

const profile = profileOf({ class: 'anatomic_total', models: [], proximalFixation: 'cemented', distalFixation: 'uncemented' });
const multipliers = { all: 40, infection: 2 }; // so high that many are revised in every period
const draws = 40_000;

/** Cumulative hazard from day `from` to day `to`, by hand. */
const cumulative = (from: number, to: number) => periodStarts.reduce<number>((sum, start, p) => {
  const end = periodStarts[p + 1] ?? Infinity;
  const hazard = multipliers.all * (2 * profile.infection[p]! + profile.others[p]!);
  return sum + hazard * Math.max(0, Math.min(to, end) - Math.max(from, start));
}, 0);

describe('times of revision follow the planted hazards', () => {
  it.each([{ from: 0 }, { from: 500 }])('given none before day $from', ({ from }) => {
    const days = Array.from({ length: draws }, (_, i) => nextRevision(new RandomStream(11, 99, i), profile, multipliers, from, 6000)?.days ?? Infinity);
    expect(Math.min(...days)).toBeGreaterThanOrEqual(from);
    for (const day of [91, 183, 365, 731, 1826, 2557, 3653, 6000].filter((d) => d > from)) {
      const planned = Math.exp(-cumulative(from, day));
      const seen = days.filter((d) => d >= day).length / draws;
      expect(Math.abs(seen - planned)).toBeLessThan(4 * Math.sqrt((planned * (1 - planned)) / draws) + 1e-9);
    }
  });

  it('with each reason in proportion to its hazard in the period', () => {
    const first = Array.from({ length: draws }, (_, i) => nextRevision(new RandomStream(12, 99, i), profile, multipliers, 1826, 2556)).filter((r) => r !== null);
    const at = periodStarts.indexOf(1826);
    const all = profile.others[at]! + 2 * profile.infection[at]!;
    profile.reasons.forEach((reason, r) => {
      const planned = (profile.byReason[r]![at]! * (reason === 'infection' ? 2 : 1)) / all;
      const seen = first.filter((f) => f.reason === reason).length / first.length;
      expect(Math.abs(seen - planned), reason).toBeLessThanOrEqual(4 * Math.sqrt((planned * (1 - planned)) / first.length));
    });
  });
});
