import type { CoxResult } from '../analysis/result';
import type { AnalysisOptions } from '../analysis/step';
import type { Question } from '../contract/question';
import type { DayProtection } from '../contract/registryCounts';
import type { NotEstimable } from '../stats/cells';
import { poolCounts } from './poolCounts';
import type { ReducedRegistry } from './reducedRegistry';

type Effect = Extract<DayProtection, { days: 'coarse' }>['effect'];

/**
 * The most by which coarse days move the estimates of this registry: percent revised at the times asked for, and the logarithms of all ratios
 * within the registry, adjusted as far as its file can be. Rounded up to two digits, so that it tells no more than it is for. The pooled ratio is nearly a mean of those of the registries, so
 * the largest of their effects bounds its own but for terms of second order.
 */
export async function coarseningEffect(exact: ReducedRegistry, coarse: ReducedRegistry, question: Question, { signal }: AnalysisOptions): Promise<Effect> {
  const carried = { ...question, adjust: question.adjust.filter(isCarried), strata: question.strata.filter(isCarried) };
  const [before, after] = [await analysed(exact), await analysed(coarse)];
  if (before.status === 'empty' || after.status === 'empty') return { percentagePoints: null, logHazardRatio: null };
  const percents = before.atTimes.map(({ estimate }, i) => differenceOf(valueOf(estimate), valueOf(after.atTimes[i]?.estimate)));
  const ratios = ratiosOf(before.adjusted), later = ratiosOf(after.adjusted);
  const logs = [...ratios].map(([key, ratio]) => differenceOf(Math.log(ratio), Math.log(later.get(key) ?? NaN)));
  return { percentagePoints: largest(percents), logHazardRatio: largest(logs) };

  function isCarried(name: string): boolean {
    return coarse.patterns.factors.some((factor) => factor.name === name);
  }
  async function analysed(reduced: ReducedRegistry) {
    return poolCounts([{ registry: 'this', reduced, withheldGroups: [] }], carried, { ...(signal !== undefined && { signal }) });
  }
}

const valueOf = (estimate: { readonly value: number } | NotEstimable | undefined): number => (estimate !== undefined && 'value' in estimate ? estimate.value : NaN);
const differenceOf = (a: number, b: number): number => Math.abs(a - b);

const ratiosOf = (fit: CoxResult | NotEstimable): ReadonlyMap<string, number> =>
  new Map(fit.status === 'ok' ? fit.ratios.map(({ term, level, estimate }) => [`${term} ${level}`, valueOf(estimate)]) : []);

function largest(differences: readonly number[]): number | null {
  const known = differences.filter(Number.isFinite);
  if (known.length === 0) return null;
  const most = Math.max(...known), unit = most === 0 ? 1 : 10 ** (Math.floor(Math.log10(most)) - 1);
  return Number((Math.ceil(most / unit - 1e-9) * unit).toPrecision(2));
}
