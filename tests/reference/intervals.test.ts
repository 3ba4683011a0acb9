import { describe, expect, it } from 'vitest';
import { turnbull } from '@/lib/stats/interval/turnbull';
import { turnbullLimits } from '@/lib/stats/interval/turnbullLimits';
import { casesOf } from './fixture';

interface Case {
  readonly name: string;
  readonly input: { readonly left: number[]; readonly right: number[]; readonly count: number[]; readonly cluster: number[] };
  readonly expected: { readonly to: number[]; readonly share: number[]; readonly lower: number[]; readonly upper: number[]; readonly survfit: { readonly time: number[]; readonly share: number[] } };
}

describe('interval-censored times against survival and a slow program', () => {
  it.each(casesOf('intervals') as Case[])('$name', ({ input, expected }) => {
    // a row for each, since members of one cluster may lie in different intervals
    const rows = input.count.flatMap((n, i) => Array.from({ length: n }, () => i));
    const left = Float64Array.from(rows, (i) => input.left[i]!), right = Float64Array.from(rows, (i) => (input.right[i]! < 0 ? Infinity : input.right[i]!)), count = new Float64Array(rows.length).fill(1);
    const fit = turnbull({ left, right, count });
    if (fit.status !== 'ok') throw new Error(fit.reason);
    const steps = turnbullLimits(fit, count, 0.95, Int32Array.from(input.cluster)), size = expected.share.length;
    // all have it by the end of the last interval, where there is one: no limits there
    expect(steps.slice(size).every(({ share, lower }) => Math.abs(share - 1) < 1e-9 && Number.isNaN(lower))).toBe(true);
    steps.slice(0, size).forEach(({ share, lower, upper }, k) => {
      expect(share).toBeCloseTo(expected.share[k]!, 5);
      expect(lower).toBeCloseTo(expected.lower[k]!, 4);
      expect(upper).toBeCloseTo(expected.upper[k]!, 4);
    });
    const shareBy = (day: number): number => steps.filter(({ to }) => to <= day).at(-1)?.share ?? 0;
    expected.survfit.time.forEach((day, k) => {
      const inside = steps.some(({ from, to }) => day > from && day < to);
      if (!inside && expected.survfit.share[k]! < 1) expect(Math.abs(shareBy(day) - expected.survfit.share[k]!), `at ${day}`).toBeLessThan(2e-3); // survfit stops its EM early
    });
  });
});
