import { describe, expect, it } from 'vitest';
import { percentAt } from '@/lib/stats/cumulativePercentRevision';
import type { NotEstimable } from '@/lib/stats/cells';
import { indexesByGroup, subset } from '@/lib/stats/subset';
import { stopOf } from '@/lib/stats/stopRule';
import { balance } from '@/lib/stats/weighting/balance';
import { propensityWeights, type TargetPopulation } from '@/lib/stats/weighting/propensityWeights';
import { weightedCox } from '@/lib/stats/weighting/weightedCox';
import { weightedKaplanMeier } from '@/lib/stats/weighting/weightedKaplanMeier';
import { expectClose } from './closeTo';
import { casesOf, cellsOf, designOf, type Columns } from './fixture';

interface Side { readonly means: number[]; readonly largestDifference: number }
interface Case {
  readonly name: string;
  readonly target: TargetPopulation;
  readonly input: Columns & { readonly group: number[]; readonly covariates: Record<string, number[]> };
  readonly expected: {
    readonly weight: number[]; readonly effectiveSize: number[]; readonly largest: number[];
    readonly before: Record<string, Side>; readonly after: Record<string, Side>;
    readonly curves: readonly { readonly time: number[]; readonly survival: number[]; readonly error: number[]; readonly lower: number[]; readonly upper: number[] }[];
    readonly coefficient: number[]; readonly variance: number[][];
  };
}

function ok<T extends { status: 'ok' }>(result: T | NotEstimable): T {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}

describe('propensity-weighted curves and hazard ratios against R survival', () => {
  it.each(casesOf('weighting') as Case[])('$name', ({ target, input, expected }) => {
    const cells = cellsOf(input), design = designOf(input.covariates), group = Int32Array.from(input.group), groups = 1 + Math.max(...input.group);
    const { weight, groups: summaries } = ok(propensityWeights(design, cells.count, group, Array.from({ length: groups }, (_, g) => `group ${g}`), target));
    expectClose(weight, expected.weight);
    expectClose(summaries.map((s) => s.effectiveSize), expected.effectiveSize);
    expectClose(summaries.map((s) => s.largest), expected.largest);
    for (const { name, before, after } of balance(design, cells.count, weight, group, groups)) {
      expectClose(before.means, expected.before[name]!.means);
      expectClose(before.largestDifference, expected.before[name]!.largestDifference);
      expectClose(after.means, expected.after[name]!.means);
      expect(after.largestDifference).toBeCloseTo(expected.after[name]!.largestDifference, 8); // nearly 0
    }
    indexesByGroup(group, groups).forEach((indexes, g) => { compareCurve(weightedKaplanMeier(subset(cells, indexes), Float64Array.from(indexes, (i) => weight[i]!)), expected.curves[g]!); });
    const columns = Object.fromEntries(Array.from({ length: groups - 1 }, (_, g) => [`group ${g + 1}`, input.group.map((own) => Number(own === g + 1))]));
    const cox = ok(weightedCox(cells, weight, designOf(columns)));
    expectClose(cox.fit.coefficient, expected.coefficient);
    expectClose(cox.covariance, expected.variance.flat());
  });
});

function compareCurve(curve: ReturnType<typeof weightedKaplanMeier>, recorded: Case['expected']['curves'][number]): void {
  const stop = stopOf(curve, { largestStep: 0, minAtRisk: 0 });
  recorded.time.forEach((t, k) => {
    const at = ok(percentAt(curve, stop, t).estimate);
    expectClose(at.percent, 100 * (1 - recorded.survival[k]!));
    if (recorded.survival[k] === 0) return; // no limits: R's error there is 0
    expectClose(at.standardError, recorded.error[k]!);
    expectClose(at.lower, 100 * (1 - recorded.upper[k]!));
    expectClose(at.upper, 100 * (1 - recorded.lower[k]!));
  });
}
