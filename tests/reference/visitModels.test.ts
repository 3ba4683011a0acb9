import { describe, expect, it } from 'vitest';
import { gee } from '@/lib/stats/regression/gee';
import { leastSquares } from '@/lib/stats/regression/leastSquares';
import { proportionalOdds } from '@/lib/stats/regression/proportionalOdds';
import { expectClose } from './closeTo';
import { casesOf } from './fixture';

interface Case {
  readonly name: string;
  readonly kind: 'leastSquares' | 'gee' | 'proportionalOdds';
  readonly input: { readonly names: string[]; readonly x: number[][]; readonly y: number[]; readonly cluster: number[]; readonly link?: 'identity' | 'logit'; readonly classes?: number };
  readonly expected: {
    readonly coefficient: number[]; readonly covariance: number[][]; readonly df?: number; readonly correlation?: number; readonly scale?: number; readonly polr?: number[]; readonly chisq?: number;
  };
}
const cases = casesOf('visitModels') as Case[];
const data = ({ input: { names, x, cluster } }: Case) => ({ names, values: Float64Array.from(x.flat()), cluster: Int32Array.from(cluster) });
function fitted<T extends { readonly status: string }>(fit: T): Extract<T, { status: 'ok' }> {
  if (fit.status !== 'ok') throw new Error(JSON.stringify(fit));
  return fit as Extract<T, { status: 'ok' }>;
}

describe('least squares with robust limits against lm and sandwich', () => {
  it.each(cases.filter((c) => c.kind === 'leastSquares'))('$name', (of) => {
    const fit = fitted(leastSquares(Float64Array.from(of.input.y), data(of)));
    expectClose(fit.coefficient, of.expected.coefficient);
    expectClose(fit.covariance, of.expected.covariance.flat());
    expect(fit.df).toBe(of.expected.df);
  });
});

describe('generalised estimating equations against geepack', () => {
  it.each(cases.filter((c) => c.kind === 'gee'))('$name', (of) => {
    const fit = fitted(gee(Float64Array.from(of.input.y), data(of), of.input.link!));
    expectClose(fit.coefficient, of.expected.coefficient, 1e-6);
    expectClose(fit.covariance, of.expected.covariance.flat(), 1e-6);
    expectClose([fit.correlation, fit.scale], [of.expected.correlation!, of.expected.scale!], 1e-6);
  });
});

describe('proportional odds against polr and a sandwich by hand', () => {
  it.each(cases.filter((c) => c.kind === 'proportionalOdds'))('$name', (of) => {
    const fit = fitted(proportionalOdds(Int32Array.from(of.input.y), data(of), of.input.classes!));
    expectClose(fit.coefficient, of.expected.coefficient, 1e-6);
    expectClose(fit.covariance, of.expected.covariance.flat(), 1e-5);
    of.expected.polr!.forEach((b, k) => { expect(Math.abs(fit.coefficient[2 + k]! - b)).toBeLessThan(2e-3); });
    expectClose(fitted(fit.proportional).chisq, of.expected.chisq!, 1e-5);
  });
});
