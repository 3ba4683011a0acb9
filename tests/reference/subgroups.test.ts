import { describe, expect, it } from 'vitest';
import { subgroupHazardRatios } from '@/lib/stats/cox/subgroupHazardRatios';
import type { NotEstimable } from '@/lib/stats/cells';
import { expectClose } from './closeTo';
import { casesOf, cellsOf, designOf, type Columns } from './fixture';

interface Case {
  readonly name: string;
  readonly input: Columns & { readonly covariates: Record<string, number[]>; readonly subgroup: number[] };
  readonly varying: number[];
  readonly levels: string[];
  readonly expected: {
    readonly coefficient: number[]; readonly error: number[]; readonly wald: number; readonly likelihoodRatio: number; readonly df: number;
    readonly robust?: { readonly error: number[]; readonly wald: number };
  };
}

function ok<T extends { status: 'ok' }>(result: T | NotEstimable): T {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}

describe('hazard ratios within subgroups and tests of interaction against coxph', () => {
  it.each(casesOf('subgroups') as Case[])('$name', ({ input, varying, levels, expected }) => {
    const fit = (robust: boolean) => ok(subgroupHazardRatios(cellsOf(input), designOf(input.covariates), varying, Int32Array.from(input.subgroup), levels, { robust }));
    const ratios = (of: ReturnType<typeof fit>) => of.subgroups.flatMap((s) => s.ratios.map((r) => { if (r.status !== 'ok') throw new Error(r.reason); return r; }));
    const plain = fit(false);
    expectClose(ratios(plain).map((r) => r.coefficient), expected.coefficient, 1e-7);
    expectClose(ratios(plain).map((r) => r.standardError), expected.error, 1e-7);
    expectClose(ok(plain.interaction.wald).chisq, expected.wald, 1e-7);
    expectClose(ok(plain.interaction.likelihoodRatio).chisq, expected.likelihoodRatio, 1e-7);
    expect([ok(plain.interaction.wald).df, ok(plain.interaction.likelihoodRatio).df]).toEqual([expected.df, expected.df]);
    if (!expected.robust) return;
    const robust = fit(true);
    expectClose(ratios(robust).map((r) => r.standardError), expected.robust.error, 1e-7);
    expectClose(ok(robust.interaction.wald).chisq, expected.robust.wald, 1e-7);
  });
});
