import { beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import type { Analysis, CoxResult } from '@/lib/analysis/result';
import { canonicalJson } from '@/lib/contract/canonical';
import { Question } from '@/lib/contract/question';
import type { RegistryCounts } from '@/lib/contract/registryCounts';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { poolCounts, type PooledAnalysis } from '@/lib/pooling/poolCounts';
import { readCounts } from '@/lib/pooling/readFiles';
import { reduceRegistry } from '@/lib/pooling/reduceRegistry';
import { loadSample } from '../analysis/sampleExtract';
import { expectClose } from '../reference/closeTo';
import { fiveRegistries, loaded } from './fiveRegistries';

// The rows of all five registries analysed together, stratified by registry, are the truth that pooling of counts must give.

let registries: readonly LoadedExtract[] = [], together: LoadedExtract;
beforeAll(async () => {
  registries = await Promise.all([...(await fiveRegistries()).values()].map(loaded));
  together = await loadSample();
}, 180_000);

async function pooled(question: Question): Promise<PooledAnalysis> {
  const texts: { name: string; file: string }[] = [];
  for (const [i, registry] of registries.entries()) {
    const file = await reduceRegistry(registry, question, { days: { days: 'exact' } });
    if ('status' in file) throw new Error(file.reason);
    texts.push({ name: `${i}.json`, file: canonicalJson(file) });
  }
  const result = await poolCounts(partsOf(await readCounts(texts)), question);
  if (result.status === 'empty') throw new Error(result.reason);
  return result;
}
const partsOf = (files: readonly { readonly file: RegistryCounts }[]) => files.map(({ file }) => ({ registry: file.source.registry, reduced: file, withheldGroups: [] }));

async function rows(question: Question): Promise<Analysis> {
  const result = await analyse(together, question);
  if (result.status === 'empty') throw new Error(result.reason);
  return result;
}

const numbers = (fit: CoxResult | { status: 'notEstimable'; reason: string }) => {
  if (fit.status !== 'ok') throw new Error(fit.reason);
  const { proportionalHazards: tests } = fit;
  if ('status' in tests) throw new Error(tests.reason);
  return {
    counts: [fit.procedures, fit.events, ...fit.ratios.flatMap(({ procedures, events }) => [procedures, events])],
    labels: fit.ratios.map(({ term, level }) => `${term} ${level}`),
    ratios: fit.ratios.flatMap(({ estimate, p }) => ('value' in estimate ? [estimate.value, estimate.lower, estimate.upper, p] : [NaN])),
    tests: tests.flatMap(({ chisq, df, p }) => [chisq, df, p]),
  };
};

const questions: readonly [string, Question][] = [
  ['two groups, adjusted for bands of age and sex', Question.parse({
    cohort: { classes: ['anatomic_total'] }, groups: ['all_poly_pegged', 'all_poly_keeled'], reference: 'all_poly_pegged', adjust: ['age', 'sex'], cluster: 'none',
  })],
  ['every design, a continuous covariate, strata of sex, seven years', Question.parse({
    cohort: { classes: ['anatomic_total'] }, adjust: ['age_linear', 'indication', 'bmi', 'period'], strata: ['sex'], cluster: 'none', horizonYears: 7, atYears: [1, 3, 7],
  })],
  ['one group against all others, by model', Question.parse({ compare: 'model', groups: ['G-FLU-02'], withOthers: true, adjust: ['class', 'asa', 'approach'], cluster: 'none' })],
];

describe('counts of five registries, pooled, are what their rows together give', () => {
  it.each(questions)('%s', async (_, question) => {
    const fromCounts = await pooled(question), plain = await rows(question), stratified = await rows({ ...question, strata: [...question.strata, 'region'] });
    expect(fromCounts.groups.map(({ key, procedures, events }) => ({ key, procedures, events }))).toEqual(plain.groups.map(({ key, procedures, events }) => ({ key, procedures, events })));
    expect(fromCounts.reference).toBe(plain.reference);
    expect(fromCounts.riskTable).toEqual(plain.riskTable);
    for (const [g, curve] of fromCounts.curves.entries()) {
      const rowCurve = plain.curves[g]!;
      expect({ group: curve.group, stop: curve.stop, thin: curve.thinFromDay }).toEqual({ group: rowCurve.group, stop: rowCurve.stop, thin: rowCurve.thinFromDay });
      for (const column of ['days', 'percent', 'lower', 'upper', 'atRisk'] as const) expectClose(curve[column], rowCurve[column], 1e-10);
    }
    expectClose(fromCounts.atTimes.flatMap(({ estimate, atRisk, events }) => [atRisk, events, ...('value' in estimate ? [estimate.value, estimate.lower, estimate.upper] : [NaN])]),
      plain.atTimes.flatMap(({ estimate, atRisk, events }) => [atRisk, events, ...('value' in estimate ? [estimate.value, estimate.lower, estimate.upper] : [NaN])]), 1e-10);
    const counts = numbers(fromCounts.adjusted), of = numbers(stratified.adjusted);
    expect({ labels: counts.labels, counts: counts.counts }).toEqual({ labels: of.labels, counts: of.counts });
    expectClose(counts.ratios, of.ratios, 1e-10);
    expectClose(counts.tests, of.tests, 1e-10);
    if (fromCounts.logRank.status !== 'ok' || stratified.logRank.status !== 'ok') throw new Error('no log-rank test');
    expectClose([fromCounts.logRank.chisq, fromCounts.logRank.p], [stratified.logRank.chisq, stratified.logRank.p], 1e-10);
    expect(fromCounts.bounds).toEqual([]);
  });

  it('and each registry keeps the curves of its own', async () => {
    const [, question] = questions[0]!, { byRegistry } = await pooled(question);
    for (const [r, registry] of registries.entries()) {
      const own = await analyse(registry, question);
      if (own.status === 'empty') throw new Error(own.reason);
      expect(byRegistry[r]!.registry).toBe(own.source.registry);
      expect(byRegistry[r]!.curves).toEqual(own.curves);
      expect(byRegistry[r]!.riskTable).toEqual(own.riskTable);
    }
  });
});
