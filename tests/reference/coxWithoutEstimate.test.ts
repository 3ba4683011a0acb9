import { describe, expect, it } from 'vitest';
import { cox } from '@/lib/stats/cox/cox';
import { expectClose } from './closeTo';
import { casesOf, cellsOf, designOf, type Columns } from './fixture';

interface Case {
  readonly name: string;
  readonly input: Columns & { readonly covariates: Record<string, number[]> };
  readonly expected: { readonly withoutEstimate: number[]; readonly coef: (number | null)[]; readonly variance: number[][]; readonly logLik: readonly [number, number]; readonly score: number };
}

describe('coefficients without estimate leave the others as coxph of R survival has them', () => {
  it.each(casesOf('coxWithoutEstimate') as Case[])('$name', ({ input, expected }) => {
    const fit = cox(cellsOf(input), designOf(input.covariates));
    if (fit.status !== 'ok') throw new Error(fit.reason);
    const missing = Array.from(fit.notEstimable.keys()).filter((j) => fit.notEstimable[j] !== null);
    expect(missing).toEqual(expected.withoutEstimate);
    expectClose(fit.coefficient, expected.coef);
    const columns = fit.names.length, kept = (k: number): boolean => !missing.includes(Math.floor(k / columns)) && !missing.includes(k % columns);
    expectClose(fit.covariance.filter((_, k) => kept(k)), expected.variance.flat());
    expectClose([fit.logLikelihood.null, fit.logLikelihood.fitted], expected.logLik, 1e-11);
    const { score } = fit.tests;
    if (score.status !== 'ok') throw new Error(score.reason);
    expectClose(score.chisq, expected.score);
  });
});
