import { describe, expect, it } from 'vitest';
import { piecewiseHazardRatios } from '@/lib/stats/cox/piecewiseHazardRatios';
import { expectClose } from './closeTo';
import { casesOf, cellsOf, designOf, type Columns } from './fixture';

interface Case {
  readonly name: string;
  readonly cuts: number[];
  readonly input: Columns & { readonly covariates: Record<string, number[]>; readonly varying: number[] };
  readonly expected: { readonly coef: number[]; readonly variance: number[][]; readonly logLik: readonly [number, number]; readonly robustVariance?: number[][] };
}

describe('period-specific hazard ratios against coxph on survSplit of R survival', () => {
  it.each(casesOf('piecewise') as Case[])('$name', ({ cuts, input, expected }) => {
    const result = piecewiseHazardRatios(cellsOf(input), designOf(input.covariates), input.varying, cuts, { robust: expected.robustVariance !== undefined });
    if (result.status !== 'ok') throw new Error(result.reason);
    const { fit, robust, periods } = result;
    expectClose(fit.coefficient, expected.coef);
    expectClose(fit.covariance, expected.variance.flat());
    expectClose([fit.logLikelihood.null, fit.logLikelihood.fitted], expected.logLik, 1e-12);
    const chosen = periods.length * input.varying.length;
    if (expected.robustVariance && robust?.status === 'ok') expectClose(robust.covariance, expected.robustVariance.slice(0, chosen).flatMap((row) => row.slice(0, chosen)));
    expect(periods.flatMap((p) => p.ratios.map((r) => (r.status === 'ok' ? r.coefficient : NaN)))).toEqual(Array.from(fit.coefficient).slice(0, chosen));
  });
});
