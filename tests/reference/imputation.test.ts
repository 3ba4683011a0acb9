import { describe, expect, it } from 'vitest';
import type { NotEstimable } from '@/lib/stats/cells';
import { cox, type CoxFit } from '@/lib/stats/cox/cox';
import { studentTQuantile, studentTUpperTail } from '@/lib/stats/distributions/studentT';
import { chainedEquations } from '@/lib/stats/imputation/chainedEquations';
import { outcomePredictors } from '@/lib/stats/imputation/outcomePredictors';
import { poolHazardRatios } from '@/lib/stats/imputation/poolHazardRatios';
import { rubin } from '@/lib/stats/imputation/rubin';
import type { Variable } from '@/lib/stats/imputation/variable';
import { summit } from '@/lib/stats/regression/newton';
import { ordinalLikelihood } from '@/lib/stats/regression/ordinalLikelihood';
import { expectClose } from './closeTo';
import { casesOf, cellsOf, designOf } from './fixture';

function ok<T extends { status: 'ok' }>(result: T | NotEstimable): T {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}

interface Pooled { readonly estimate: number; readonly error: number; readonly within: number; readonly between: number; readonly df: number; readonly fractionMissing: number; readonly lower: number; readonly p: number }
type RubinCase = { readonly name: string } & (
  | { readonly kind: 'scalar'; readonly input: { readonly estimates: number[]; readonly variances: number[]; readonly completeDf?: number }; readonly expected: Pooled }
  | { readonly kind: 'cox'; readonly input: { readonly exit: number[]; readonly event: number[]; readonly age: number[]; readonly sex: number[]; readonly ecog: number[][] };
      readonly expected: Record<'estimate' | 'error' | 'df' | 'p' | 'lower' | 'upper' | 'fractionMissing', number[]> }
  | { readonly kind: 'student'; readonly tails: Record<'t' | 'df' | 'p', number[]>; readonly quantiles: Record<'t' | 'df' | 'p', number[]> });
const rubinCases = casesOf('rubin') as RubinCase[];

describe('Rubin’s rules against mice', () => {
  it.each(rubinCases.filter((c) => c.kind === 'scalar'))('$name', ({ input, expected }) => {
    const pooled = rubin(input.estimates, input.variances, input.completeDf);
    expectClose([pooled.estimate, pooled.standardError, pooled.within, pooled.between, pooled.df, pooled.fractionMissing, pooled.lower, pooled.p],
      [expected.estimate, expected.error, expected.within, expected.between, expected.df, expected.fractionMissing, expected.lower, expected.p], 1e-10);
  });

  it.each(rubinCases.filter((c) => c.kind === 'cox'))('$name', ({ input: { exit, event, age, sex, ecog }, expected }) => {
    const fits = ecog.map((own): CoxFit => ok(cox(cellsOf({ exit, event }), designOf({ age, sex, ecog: own }))));
    poolHazardRatios(fits).forEach((ratio, j) => {
      if (ratio.status !== 'ok') throw new Error(ratio.reason);
      expectClose([ratio.coefficient, ratio.standardError, ratio.df, ratio.p, Math.log(ratio.lower), Math.log(ratio.upper), ratio.fractionMissing],
        (['estimate', 'error', 'df', 'p', 'lower', 'upper', 'fractionMissing'] as const).map((field) => expected[field][j]!), 1e-7);
    });
  });

  it.each(rubinCases.filter((c) => c.kind === 'student'))('$name', ({ tails, quantiles }) => {
    expectClose(tails.t.map((t, k) => studentTUpperTail(t, tails.df[k]!)), tails.p, 1e-11);
    expectClose(quantiles.p.map((p, k) => studentTQuantile(p, quantiles.df[k]!)), quantiles.t, 1e-11);
  });
});

interface OrdinalCase {
  readonly name: string;
  readonly input: { readonly x: number[][]; readonly y: number[]; readonly count: number[] };
  readonly expected: { readonly threshold: number[]; readonly coefficient: number[]; readonly logLik: number; readonly error: number[] };
}

describe('proportional odds against polr', () => {
  it.each(casesOf('ordinal') as OrdinalCase[])('$name', ({ input: { x, y, count }, expected }) => {
    const width = x[0]!.length, classes = 1 + Math.max(...y), likelihood = ordinalLikelihood(Float64Array.from(x.flat()), width, Int32Array.from(y), Float64Array.from(count), classes);
    const start = Float64Array.from({ length: classes - 1 + width }, (_, k) => (k < classes - 1 ? k - 1 : 0)), { likelihood: { at, value, gradient } } = summit(likelihood, start)!;
    [...expected.threshold, ...expected.coefficient].forEach((b, k) => { expect(Math.abs(at[k]! - b)).toBeLessThan(1e-4); }); // recorded to four decimals
    expect(value).toBeCloseTo(expected.logLik, 4);
    gradient.forEach((g) => { expect(g).toBeCloseTo(0, 8); });
  });
});

interface ImputationCase {
  readonly name: string;
  readonly input: Record<'exit' | 'event' | 'age' | 'female' | 'bili' | 'hepato' | 'stage', (number | null)[]>;
  readonly expected: Record<'coefficient' | 'error' | 'fractionMissing' | 'monteCarlo' | 'drawn' | 'drawnMonteCarlo', number[]>;
}

describe('chained equations against mice', () => {
  it.each(casesOf('imputation') as ImputationCase[])('$name: pooled ratios and imputed values agree within Monte Carlo error', ({ input, expected }) => {
    const cells = cellsOf({ exit: input.exit.map(Number), event: input.event.map(Number) });
    const measured = (name: 'age' | 'bili'): Variable => ({ kind: 'measured', name, value: Float64Array.from(input[name], (v) => v ?? NaN) });
    const factor = (name: 'female' | 'hepato' | 'stage', levels: number): Variable => ({ kind: 'ordered', name, levels, value: Int32Array.from(input[name], (v) => v ?? -1) });
    const variables = [measured('age'), factor('female', 2), measured('bili'), factor('hepato', 2), factor('stage', 3)];
    const { completed } = ok(chainedEquations(variables, cells.count, outcomePredictors(cells), { seed: 1, imputations: 80, cycles: 10 }));
    const fits = completed.map(([age, female, bili, hepato, stage]) => ok(cox(cells, designOf({
      age: [...age!.value], female: [...female!.value], bili: [...bili!.value], hepato: [...hepato!.value],
      two: Array.from(stage!.value, (s) => Number(s === 1)), three: Array.from(stage!.value, (s) => Number(s === 2)),
    }))));
    poolHazardRatios(fits).forEach((ratio, j) => {
      if (ratio.status !== 'ok') throw new Error(ratio.reason);
      expect(Math.abs(ratio.coefficient - expected.coefficient[j]!)).toBeLessThan(4 * Math.SQRT2 * expected.monteCarlo[j]!);
      expect(Math.abs(ratio.standardError / expected.error[j]! - 1)).toBeLessThan(0.1); // mice does not draw the parameters of polr
      expect(Math.abs(ratio.fractionMissing - expected.fractionMissing[j]!)).toBeLessThan(0.15);
    });
    const share = (which: number, name: 'bili' | 'hepato' | 'stage', of: (v: number) => number): number => {
      const rows = input[name].flatMap((v, i) => (v === null ? [i] : []));
      return completed.reduce((sum, set) => sum + rows.reduce((s, i) => s + of(set[which]!.value[i]!), 0) / rows.length, 0) / completed.length;
    };
    [share(2, 'bili', (v) => v), share(3, 'hepato', (v) => v), share(4, 'stage', (v) => Number(v === 1)), share(4, 'stage', (v) => Number(v === 2))]
      .forEach((v, k) => { expect(Math.abs(v - expected.drawn[k]!)).toBeLessThan(4 * Math.SQRT2 * expected.drawnMonteCarlo[k]!); });
  });
});
