import { describe, expect, it } from 'vitest';
import { cox } from '@/lib/stats/cox/cox';
import { cutPoints, type CutTried } from '@/lib/stats/cox/cutPoints';
import { smoothHazardRatio } from '@/lib/stats/cox/smoothHazardRatio';
import type { NotEstimable } from '@/lib/stats/cells';
import { normalQuantile } from '@/lib/stats/distributions/normal';
import { expectClose } from './closeTo';
import { casesOf, cellsOf, designOf, type Columns } from './fixture';

interface Input extends Columns { readonly covariates: Record<string, number[]> }
type Case = { readonly name: string; readonly input: Input } & (
  | { readonly kind: 'smooth'; readonly times: number[]; readonly curves: readonly { readonly log: number[]; readonly error: number[] }[] }
  | { readonly kind: 'cuts'; readonly varying: number[]; readonly alpha: number; readonly cuts: number[]; readonly tried: CutTried[] });

function ok<T extends { status: 'ok' }>(result: T | NotEstimable): T {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}
const cases = casesOf('hazardRatioOverTime') as Case[];

describe('hazard ratio over time against cox.zph and natural splines of R', () => {
  it.each(cases.filter((c) => c.kind === 'smooth'))('$name', ({ input, times, curves }) => {
    const fit = ok(cox(cellsOf(input), designOf(input.covariates)));
    curves.forEach(({ log, error }, j) => {
      const { time, ratio, lower, upper } = ok(smoothHazardRatio(fit, j, times));
      expect(Array.from(time)).toEqual(times);
      expectClose(ratio.map(Math.log), log, 1e-7);
      expectClose(upper.map((u, k) => Math.log(u / lower[k]!) / 2 / normalQuantile(0.975)), error, 1e-7);
    });
  });
});

describe('cut points of the hazard ratio against fitting every candidate with coxph', () => {
  it.each(cases.filter((c) => c.kind === 'cuts'))('$name', ({ input, varying, alpha, cuts, tried }) => {
    const result = ok(cutPoints(cellsOf(input), designOf(input.covariates), varying, { alpha }));
    expect(result.cuts).toEqual(cuts);
    expect(result.tried.length).toBe(tried.length);
    result.tried.forEach((cut, k) => {
      const { time, candidates, accepted, df, chisq, p, needed } = tried[k]!;
      expect(cut).toMatchObject({ time, candidates, accepted, df });
      expectClose([cut.chisq, cut.p, cut.needed], [chisq, p, needed], 1e-7);
    });
    expect(result.piecewise.periods.length).toBe(cuts.length + 1);
  });
});
