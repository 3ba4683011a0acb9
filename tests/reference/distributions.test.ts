import { describe, expect, it } from 'vitest';
import { chiSquareUpperTail } from '@/lib/stats/distributions/chiSquare';
import { gammaQuantile } from '@/lib/stats/distributions/gammaQuantile';
import { hypergeometricTails } from '@/lib/stats/distributions/hypergeometric';
import { normalQuantile, normalUpperTail } from '@/lib/stats/distributions/normal';
import { poissonLimits } from '@/lib/stats/rates';
import { expectClose } from './closeTo';
import { casesOf } from './fixture';

type Table = Readonly<Record<string, number[]>>;
const cases = casesOf('distributions') as { readonly name: string; readonly input: Table; readonly expected: Table }[];

// what the library gives for each column that R gave, in the order of the script's cases
const ours: ((input: Table) => Table)[] = [
  ({ z }) => ({ tail: z!.map(normalUpperTail) }),
  ({ p }) => ({ z: p!.map(normalQuantile) }),
  ({ x, df }) => ({ tail: x!.map((v, k) => chiSquareUpperTail(v, df![k]!)) }),
  ({ shape, p }) => ({ lower: p!.map((v, k) => gammaQuantile(v, shape![k]!)), upper: p!.map((v, k) => gammaQuantile(v, shape![k]!, 'upper')) }),
  ({ observed }) => {
    const narrow = observed!.map((o) => poissonLimits(o)), wide = observed!.map((o) => poissonLimits(o, 0.998));
    return { lower95: narrow.map((l) => l.lower), upper95: narrow.map((l) => l.upper), lower998: wide.map((l) => l.lower), upper998: wide.map((l) => l.upper) };
  },
  ({ count, drawn, marked, total }) => {
    const tails = count!.map((n, k) => hypergeometricTails(n, drawn![k]!, marked![k]!, total![k]!));
    return { lower: tails.map((t) => t.lower), higher: tails.map((t) => t.higher) };
  },
];

describe('tails and quantiles against R stats', () => {
  it.each(cases.map((c, k) => ({ ...c, k })))('$name', ({ input, expected, k }) => {
    const actual = ours[k]!(input);
    expect(Object.keys(actual)).toEqual(Object.keys(expected));
    for (const [column, values] of Object.entries(expected)) {
      values.forEach((value, j) => { expectClose(actual[column]![j]!, value, 1e-13); }); // one at a time: a far tail is compared with itself
    }
  });
});
