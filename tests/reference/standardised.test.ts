import { describe, it } from 'vitest';
import type { NotEstimable } from '@/lib/stats/cells';
import { standardisation, type GroupModel } from '@/lib/stats/standardised/standardisation';
import { standardisedAt } from '@/lib/stats/standardised/standardisedAt';
import { standardisedContrast } from '@/lib/stats/standardised/standardisedContrast';
import { standardisedMeans } from '@/lib/stats/standardised/standardisedMeans';
import { expectClose } from './closeTo';
import { casesOf, cellsOf, designOf, type Columns } from './fixture';

interface Case {
  readonly name: string;
  readonly model: GroupModel;
  readonly input: Columns & { readonly group: number[]; readonly covariates: Record<string, number[]> };
  readonly times: number[];
  readonly expected: {
    readonly survival: number[][]; readonly error: number[][]; // times × groups
    readonly differences?: { readonly value: number[]; readonly error: number[]; readonly time: number[]; readonly one: number[]; readonly other: number[] };
    readonly area: number[]; readonly areaCovariance: number[][];
    readonly digits: number;
  };
}

function ok<T extends { status: 'ok' }>(result: T | NotEstimable): T {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}

describe('standardised curves against riskRegression, and against coxph and its derivatives by weights', () => {
  it.each(casesOf('standardised') as Case[])('$name', ({ model, input, times, expected }) => {
    const groups = Array.from({ length: 1 + Math.max(...input.group) }, (_, g) => `group ${g}`), precision = 10 ** (1 - expected.digits);
    const all = ok(standardisation(cellsOf(input), designOf(input.covariates), Int32Array.from(input.group), groups, model));
    times.forEach((time, k) => {
      const estimates = standardisedAt(all, time).groups.map((g) => ok(g.estimate));
      expectClose(estimates.map((e) => 100 - e.percent), expected.survival[k]!.map((s) => 100 * s));
      expectClose(estimates.map((e) => e.standardError), expected.error[k]!, precision);
    });
    expected.differences?.value.forEach((value, k) => {
      const { time, one, other, error } = expected.differences!;
      const difference = ok(standardisedContrast(standardisedAt(all, time[k]!), one[k]!, other[k]!).difference);
      expectClose([difference.value, difference.standardError], [100 * value, 100 * error[k]!], precision);
    });
    const means = standardisedMeans(all, Math.max(...times));
    expectClose(means.groups.map((m) => ok(m).mean), expected.area);
    expectClose(means.groups.map((m) => ok(m).standardError), expected.areaCovariance.map((row, g) => Math.sqrt(row[g]!)), precision);
    const [[v, c], [, w]] = expected.areaCovariance as [[number, number], [number, number]];
    expectClose(ok(means.difference(1, 0)).standardError, Math.sqrt(v + w - 2 * c), 10 * precision);
  });
});
