import { describe, expect, it } from 'vitest';
import { logRank } from '@/lib/stats/logRank';
import { expectClose } from './closeTo';
import { casesOf, cellsOf, type Columns } from './fixture';

interface Case {
  readonly name: string;
  readonly input: Columns & { readonly group: readonly number[] };
  readonly expected: { readonly chisq: number; readonly df: number; readonly observed?: number[]; readonly expected?: number[]; readonly variance?: number[][] };
}

describe('log-rank test against survdiff of R survival', () => {
  it.each(casesOf('logRank') as Case[])('$name', ({ input, expected }) => {
    const result = logRank(cellsOf(input), Int32Array.from(input.group), 1 + Math.max(...input.group));
    if (result.status !== 'ok') throw new Error(result.reason);
    expect(result.df).toBe(expected.df);
    expectClose(result.chisq, expected.chisq, 1e-10);
    if (expected.observed) expectClose(result.observed, expected.observed);
    if (expected.expected) expectClose(result.expected, expected.expected, 1e-12);
    if (expected.variance) expectClose(result.variance, expected.variance.flat(), 1e-10);
  });
});
