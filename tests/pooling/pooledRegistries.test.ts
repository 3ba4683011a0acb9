import { beforeAll, describe, expect, it } from 'vitest';
import type { AtTime, CoxResult } from '@/lib/analysis/result';
import { canonicalJson } from '@/lib/contract/canonical';
import { Question } from '@/lib/contract/question';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { poolCounts } from '@/lib/pooling/poolCounts';
import { poolEstimates } from '@/lib/pooling/poolEstimates';
import { readCounts, readEstimates, type Named } from '@/lib/pooling/readFiles';
import { reduceRegistry } from '@/lib/pooling/reduceRegistry';
import { reduceToEstimates } from '@/lib/pooling/reduceToEstimates';
import type { NotEstimable } from '@/lib/stats/cells';
import { expectClose } from '../reference/closeTo';
import { casesOf } from '../reference/fixture';
import { fiveRegistries, loaded, regions } from './fiveRegistries';

interface CurveAt { readonly atRisk: readonly number[]; readonly percent: readonly number[]; readonly lower: readonly number[]; readonly upper: readonly number[] }
interface Test { readonly chisq: number; readonly df: number; readonly p: number }
interface Case {
  readonly name: string;
  readonly input: { readonly question: object };
  readonly expected: {
    readonly procedures: number; readonly events: number; readonly curves: readonly CurveAt[]; readonly adjusted: readonly number[][]; readonly unadjusted: readonly number[][];
    readonly group: Test; readonly global: Test; readonly meta: readonly number[];
    readonly each: readonly { readonly registry: string; readonly procedures: number; readonly events: number; readonly curves: readonly CurveAt[]; readonly logRatio: number | readonly number[]; readonly standardError: number | readonly number[] }[];
  };
}
const cases = casesOf('pooledRegistries') as readonly Case[];

let registries: readonly LoadedExtract[] = [];
beforeAll(async () => { registries = await Promise.all([...(await fiveRegistries()).values()].map(loaded)); }, 180_000);

async function textsOf(reduce: (registry: LoadedExtract) => Promise<object>): Promise<readonly Named<string>[]> {
  const texts: Named<string>[] = [];
  for (const [i, registry] of registries.entries()) texts.push({ name: `${regions[i]!}.json`, file: canonicalJson(await reduce(registry)) });
  return texts;
}

/** As R has them: per group, at the times asked for. */
function expectCurves(found: readonly AtTime[], groups: readonly string[], expected: readonly CurveAt[]): void {
  for (const [g, group] of groups.entries()) {
    const own = found.filter((at) => at.group === group), of = expected[g]!;
    expectClose(own.map(({ atRisk }) => atRisk), of.atRisk);
    for (const [i, { estimate }] of own.entries()) {
      if ('value' in estimate) expectClose([estimate.value, estimate.lower, estimate.upper], [of.percent[i]!, of.lower[i]!, of.upper[i]!]);
    }
  }
}

const groupRatios = (fit: CoxResult | NotEstimable): readonly number[] => {
  if (fit.status !== 'ok') throw new Error(fit.reason);
  return fit.ratios.filter(({ term }) => term === 'group').flatMap(({ estimate }) => ('value' in estimate ? [estimate.value, estimate.lower, estimate.upper] : [NaN]));
};
const list = (values: number | readonly number[]): readonly number[] => (typeof values === 'number' ? [values] : values);

describe('five registries against R on their rows', () => {
  it.each(cases.map((one) => [one.name, one] as const))('counts: %s', async (_, { input, expected }) => {
    const question = Question.parse(input.question);
    const files = await readCounts(await textsOf((registry) => reduceRegistry(registry, question, { days: { days: 'exact' } })));
    const result = await poolCounts(files.map(({ file }) => ({ registry: file.source.registry, reduced: file, withheldGroups: [] })), question);
    if (result.status !== 'ok' || result.adjusted.status !== 'ok' || 'status' in result.adjusted.proportionalHazards) throw new Error('not estimable');
    expect([result.adjusted.procedures, result.adjusted.events]).toEqual([expected.procedures, expected.events]);
    expectClose(groupRatios(result.adjusted), expected.adjusted.flat());
    expectClose(groupRatios(result.unadjusted), expected.unadjusted.flat());
    const { proportionalHazards: tests } = result.adjusted, test = (term: string) => tests.find((one) => one.term === term)!;
    for (const [term, of] of [['group', expected.group], ['global', expected.global]] as const) expectClose([test(term).chisq, test(term).df, test(term).p], [of.chisq, of.df, of.p]);
    expectCurves(result.atTimes, question.groups, expected.curves);
    for (const [r, own] of result.byRegistry.entries()) {
      const of = expected.each[r]!;
      expect([own.registry, own.procedures, own.events]).toEqual([`Registry of ${of.registry} (invented)`, of.procedures, of.events]);
      expectCurves(own.atTimes, question.groups, of.curves);
    }
  });

  it.each(cases.map((one) => [one.name, one] as const))('estimates: %s', async (_, { input, expected }) => {
    const question = Question.parse(input.question);
    const files = await readEstimates(await textsOf((registry) => reduceToEstimates(registry, question, { smallest: 5 })));
    const pooled = poolEstimates(files.map(({ file }) => file));
    for (const [j, { registries: own, leftOut }] of pooled.entries()) {
      expect(leftOut).toEqual([]);
      expectClose(own.map(({ logRatio }) => logRatio), expected.each.map(({ logRatio }) => list(logRatio)[j]!));
      expectClose(own.map(({ standardError }) => standardError), expected.each.map(({ standardError }) => list(standardError)[j]!));
    }
    const { result } = pooled[0]!;
    if (result.status !== 'ok' || result.randomEffects.status !== 'ok') throw new Error('not estimable');
    const { estimate, standardError, lower, upper, tauSquared } = result.randomEffects;
    expectClose([estimate, standardError, lower, upper, tauSquared], expected.meta);
  });
});
