import { describe, expect, it } from 'vitest';
import { metaAnalysis, type MetaAnalysis } from '@/lib/stats/metaAnalysis/metaAnalysis';
import { expectClose } from '../reference/closeTo';
import { casesOf } from '../reference/fixture';

interface Case {
  readonly name: string;
  readonly input: { readonly estimate: readonly number[]; readonly standardError: readonly number[] };
  readonly expected: Readonly<Record<'common' | 'random' | 'withoutFactor' | 'prediction' | 'heterogeneity' | 'tauSquared', readonly number[]>> & { readonly factor: number };
}
const of = ({ estimate, standardError }: Case['input']): MetaAnalysis => {
  const result = metaAnalysis({ estimate: Float64Array.from(estimate), standardError: Float64Array.from(standardError) });
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
};
const cases = casesOf('metaAnalysis') as readonly Case[];

describe('meta-analysis', () => {
  it.each(cases.map((one) => [one.name, one] as const))('agrees with metafor: %s', (_, { input, expected }) => {
    const { commonEffect, randomEffects, prediction, heterogeneity, tauSquared } = of(input);
    if (randomEffects.status !== 'ok' || prediction.status !== 'ok') throw new Error('not estimable');
    const { restrictedMaximumLikelihood: reml, pauleMandel, derSimonianLaird } = tauSquared;
    const numbers = ({ estimate, standardError, lower, upper, p }: typeof commonEffect) => [estimate, standardError, lower, upper, p];
    expectClose(numbers(commonEffect), expected.common);
    expectClose(numbers(randomEffects), expected.random);
    expectClose([randomEffects.hartungKnappFactor], [expected.factor]);
    expectClose([prediction.lower, prediction.upper], expected.prediction);
    expectClose([heterogeneity.q, heterogeneity.p, heterogeneity.iSquared], expected.heterogeneity);
    expectClose([Number(reml), pauleMandel, derSimonianLaird], expected.tauSquared);
    expectClose([randomEffects.weights.reduce((a, b) => a + b, 0)], [1]);
  });

  // Viechtbauer 2010, J Stat Softw 36(3): 13 trials of Colditz et al. 1994, REML; from memory
  it('has the published numbers of thirteen trials of a vaccine', () => {
    const { heterogeneity, tauSquared } = of(cases[0]!.input), { withoutFactor } = cases[0]!.expected;
    expect(tauSquared.restrictedMaximumLikelihood).toBeCloseTo(0.3132, 4);
    expect(tauSquared.derSimonianLaird).toBeCloseTo(0.3088, 4);
    expect(heterogeneity.q).toBeCloseTo(152.233, 3);
    expect(withoutFactor.map((x) => x.toFixed(4))).toEqual(['-0.7145', '0.1798']);
  });

  it('gives no random effects from two, nothing from one or none', () => {
    const two = of({ estimate: [0.2, 0.5], standardError: [0.1, 0.2] });
    expect(two.commonEffect.estimate).toBeCloseTo((0.2 * 100 + 0.5 * 25) / 125, 12);
    expect([two.randomEffects.status, two.prediction.status]).toEqual(['notEstimable', 'notEstimable']);
    for (const estimate of [[0.2], []]) expect(metaAnalysis({ estimate: Float64Array.from(estimate), standardError: Float64Array.from(estimate) }).status).toBe('notEstimable');
  });

  it('refuses a standard error of nothing', () => {
    expect(() => metaAnalysis({ estimate: Float64Array.of(0, 1), standardError: Float64Array.of(1, 0) })).toThrow(RangeError);
  });
});
