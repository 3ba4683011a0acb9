import { describe, expect, it } from 'vitest';
import { cox } from '@/lib/stats/cox/cox';
import type { Ties } from '@/lib/stats/cox/coxModel';
import type { NotEstimable } from '@/lib/stats/cells';
import { frailtyAt, solveCurve } from '@/lib/stats/frailty/frailtyAt';
import { frailtyModel } from '@/lib/stats/frailty/frailtyModel';
import { sharedFrailty } from '@/lib/stats/frailty/sharedFrailty';
import { expectClose } from './closeTo';
import { casesOf, cellsOf, designOf, type Columns } from './fixture';

interface Case {
  readonly name: string;
  readonly ties: Ties;
  readonly input: Columns & { readonly covariates: Record<string, number[]> };
  readonly given: readonly { readonly theta: number; readonly coefficient: number[] | number; readonly variance: number[][]; readonly logLik: number }[];
  readonly found: { readonly theta: number; readonly logLik: number; readonly coefficient: number[] };
}

function ok<T extends { status: 'ok' }>(result: T | NotEstimable): T {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}

describe('shared frailty against coxph of R survival', () => {
  const cases = casesOf('sharedFrailty') as Case[];

  it.each(cases)('$name, given the variance', ({ ties, input, given }) => {
    const fit = ok(cox(cellsOf(input), designOf(input.covariates), { ties })), model = frailtyModel(fit);
    if ('status' in model) throw new Error(model.reason);
    const q = model.clusters.times.length, { scale } = fit.state.model, start = Float64Array.from([...new Float64Array(q), ...fit.state.beta]);
    for (const { theta, coefficient, variance, logLik } of given) {
      const at = frailtyAt(model, theta, start)!;
      expectClose(at.likelihood.at.subarray(q).map((b, j) => b / scale[j]!), coefficient, 1e-7);
      expectClose(at.logLikelihood, logLik, 1e-12);
      variance.forEach((row, j) => {
        const unit = new Float64Array(start.length);
        unit[q + j] = 1;
        const column = solveCurve(model, at.likelihood, unit, 1e-11).subarray(q);
        expectClose(column.map((v, i) => v / (scale[i]! * scale[j]!)), row, 1e-6);
      });
    }
  });

  it.each(cases)('$name, of the variance that is likeliest', ({ ties, input, found }) => {
    const result = ok(sharedFrailty(cellsOf(input), designOf(input.covariates), { ties }));
    expect(Math.abs(result.variance - found.theta)).toBeLessThan(1e-3 * found.theta + 1e-4);
    expect(result.logLikelihood.frailty).toBeCloseTo(found.logLik, 4); // R loses digits where the variance is nearly 0
    found.coefficient.forEach((b, j) => { expect(Math.abs(result.coefficient[j]! - b)).toBeLessThan(2e-5); });
    expect(result.lower).toBeLessThanOrEqual(result.variance);
    expect(result.upper).toBeGreaterThan(result.variance);
  });
});
