import { describe, expect, it } from 'vitest';
import { multinomial } from '@/lib/stats/regression/multinomial';
import { expectClose } from './closeTo';
import { casesOf } from './fixture';

interface Case {
  readonly name: string;
  readonly input: { readonly names: string[]; readonly values: number[][]; readonly counts: number[][] };
  readonly expected: {
    readonly coefficient: number[]; readonly variance: number[][]; readonly probability: number[][];
    readonly multinom: number[]; readonly logLik: { readonly null: number; readonly fitted: number };
  };
}

describe('logistic and multinomial regression against glm and nnet', () => {
  it.each(casesOf('multinomial') as Case[])('$name', ({ input: { names, values, counts }, expected }) => {
    const classes = Array.from(counts[0]!, (_, k) => `class ${k}`);
    const fit = multinomial({ names, values: Float64Array.from(values.flat()) }, Float64Array.from(counts.flat()), classes);
    if (fit.status !== 'ok') throw new Error(fit.reason);
    expectClose(fit.coefficient, expected.coefficient);
    expectClose(fit.covariance, expected.variance.flat(), 1e-6); // R's is that of the last step but one
    expectClose(fit.probability, expected.probability.flat());
    expected.multinom.forEach((b, k) => { expect(Math.abs(fit.coefficient[k]! - b)).toBeLessThan(1e-4); }); // recorded to four decimals
    expectClose([fit.logLikelihood.null, fit.logLikelihood.fitted], [expected.logLik.null, expected.logLik.fitted], 1e-11);
  });
});
