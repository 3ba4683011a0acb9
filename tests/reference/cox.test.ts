import { describe, expect, it } from 'vitest';
import { baselineHazard } from '@/lib/stats/cox/baselineHazard';
import { cox, type ChiSquareTest, type CoxFit } from '@/lib/stats/cox/cox';
import type { Ties } from '@/lib/stats/cox/coxModel';
import { proportionalHazards, type TimeScale } from '@/lib/stats/cox/proportionalHazards';
import { martingaleResiduals, scoreResiduals } from '@/lib/stats/cox/residuals';
import { robustCovariance } from '@/lib/stats/cox/robust';
import { schoenfeldResiduals } from '@/lib/stats/cox/schoenfeld';
import type { NotEstimable } from '@/lib/stats/cells';
import { expectClose } from './closeTo';
import { casesOf, cellsOf, designOf, type Columns } from './fixture';

interface Case {
  readonly name: string;
  readonly ties: Ties;
  readonly input: Columns & { readonly covariates: Record<string, number[]>; readonly terms: readonly (readonly number[])[] };
  readonly expected: {
    readonly coef: number[];
    readonly variance: number[][];
    readonly logLik: readonly [number, number];
    readonly tests: Record<'likelihoodRatio' | 'wald' | 'score', number>;
    readonly zph: readonly ({ readonly transform: TimeScale } & ({ readonly singular: true } | { readonly singular: false; readonly chisq: number[]; readonly df: number[] }))[];
    readonly hazard?: { readonly time?: number[]; readonly cumulative?: number[] };
    readonly robust?: { readonly variance: number[][]; readonly wald: number; readonly clusters: number };
    readonly residuals?: { readonly martingale: number[]; readonly score: number[][]; readonly schoenfeld: number[][]; readonly schoenfeldRows: number[]; readonly scaled?: number[][] };
  };
}

function fitted<T extends { status: 'ok' }>(result: T | NotEstimable): T {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}
const chisq = (test: ChiSquareTest | NotEstimable): number => fitted(test).chisq;

describe('Cox regression against coxph of R survival', () => {
  it.each(casesOf('cox') as Case[])('$name', ({ ties, input, expected }) => {
    const fit = fitted(cox(cellsOf(input), designOf(input.covariates), { ties }));
    expectClose(fit.coefficient, expected.coef);
    expectClose(fit.covariance, expected.variance.flat());
    expectClose([fit.logLikelihood.null, fit.logLikelihood.fitted], expected.logLik, 1e-12);
    for (const name of ['likelihoodRatio', 'wald', 'score'] as const) expectClose(chisq(fit.tests[name]), expected.tests[name]);
    compareProportionalHazards(fit, input.terms, expected.zph);
    if (expected.hazard?.time) {
      const { centre, time, cumulativeHazard } = baselineHazard(fit);
      const atZero = Math.exp(-centre.reduce((sum, c, j) => sum + c * fit.coefficient[j]!, 0));
      expect(Array.from(time)).toEqual(expected.hazard.time);
      expectClose(cumulativeHazard.map((h) => h * atZero), expected.hazard.cumulative!);
    }
    if (expected.robust) {
      const robust = fitted(robustCovariance(fit));
      expectClose(robust.covariance, expected.robust.variance.flat());
      expectClose(chisq(robust.wald), expected.robust.wald);
      expect(robust.clusters).toBe(expected.robust.clusters);
    }
    if (expected.residuals) compareResiduals(fit, expected.residuals);
  });
});

function compareProportionalHazards(fit: CoxFit, columns: readonly (readonly number[])[], recorded: Case['expected']['zph']): void {
  for (const r of recorded) {
    const { terms, global } = proportionalHazards(fit, r.transform, columns.map((c, k) => ({ name: `term ${k}`, columns: c })));
    const tests = [...terms.map((t) => t.test), global];
    if (r.singular) expect(tests.map((t) => t.status)).toEqual(tests.map(() => 'notEstimable'));
    else {
      expectClose(tests.map(chisq), r.chisq);
      expect(tests.map((t) => fitted(t).df)).toEqual(r.df);
    }
  }
}

function compareResiduals(fit: CoxFit, recorded: NonNullable<Case['expected']['residuals']>): void {
  const { scale, columns } = fit.state.model;
  expectClose(martingaleResiduals(fit.state), recorded.martingale);
  expectClose(scoreResiduals(fit.state).map((v, k) => v * scale[k % columns]!), recorded.score.flat());
  const { cell, residual, scaled } = schoenfeldResiduals(fit);
  const inOrderOfTime = (values: Float64Array): number[] => recorded.schoenfeldRows.flatMap((row) => {
    const at = cell.indexOf(row) * columns;
    return Array.from(values.subarray(at, at + columns));
  });
  expectClose(inOrderOfTime(residual), recorded.schoenfeld.flat());
  if (recorded.scaled) expectClose(inOrderOfTime(scaled), recorded.scaled.flat());
}
