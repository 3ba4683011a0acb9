import { describe, it } from 'vitest';
import { probabilityHigher } from '@/lib/stats/ordinal/probabilityHigher';
import { weightedKappa } from '@/lib/stats/ordinal/weightedKappa';
import { expectClose } from './closeTo';
import { casesOf } from './fixture';

interface Case {
  readonly name: string;
  readonly kind: 'kappa' | 'higher';
  readonly input: { readonly counts?: number[][]; readonly a?: number[]; readonly b?: number[] };
  readonly expected: { readonly value: number; readonly error: number; readonly lower?: number; readonly upper?: number; readonly wilcoxon?: number };
}
const cases = casesOf('grades') as Case[];

describe('agreement of two readers against vcd', () => {
  it.each(cases.filter((c) => c.kind === 'kappa'))('$name', ({ input, expected }) => {
    const kappa = weightedKappa(input.counts!);
    if (kappa.status !== 'ok') throw new Error(kappa.reason);
    expectClose([kappa.value, kappa.standardError], [expected.value, expected.error]);
  });
});

describe('the chance of a higher grade against all pairs', () => {
  it.each(cases.filter((c) => c.kind === 'higher'))('$name', ({ input, expected }) => {
    const higher = probabilityHigher(input.a!, input.b!);
    if (higher.status !== 'ok') throw new Error(higher.reason);
    expectClose([higher.value, higher.standardError, higher.lower, higher.upper, higher.value], [expected.value, expected.error, expected.lower!, expected.upper!, expected.wilcoxon!]);
  });
});
