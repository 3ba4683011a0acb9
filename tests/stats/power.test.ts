import { describe, expect, it } from 'vitest';
import { betaTails } from '@/lib/stats/distributions/incompleteBeta';
import { noncentralChiSquareUpperTail, noncentralFUpperTail, noncentralTUpperTail } from '@/lib/stats/distributions/noncentral';
import { eventChance, hazardOf } from '@/lib/stats/precision/eventChance';
import { eventsNeeded } from '@/lib/stats/precision/eventsNeeded';
import { hazardsOverall, meansOverall, proportionsOverall } from '@/lib/stats/precision/overallPower';
import { hazardsNotAbove, hazardsPower, meansNotBelow, meansPower, proportionsNotAbove, proportionsPower } from '@/lib/stats/precision/pairPower';
import { fixture } from './rows';

type Columns<K extends string> = Readonly<Record<K, number[]>>;
const cases = (fixture('power') as { readonly cases: readonly { readonly name: string; readonly input: unknown; readonly expected: unknown }[] }).cases;
const named = (name: string): unknown => {
  const found = cases.find((c) => c.name === name);
  if (found === undefined) throw new Error(`no case ${name}`);
  return found;
};
/** Row by row of a recorded table. */
function each<K extends string>(name: string, columns: readonly K[], ours: (row: Readonly<Record<K, number>>) => number, within = 1e-10): void {
  const { input, expected } = named(name) as { readonly input: Columns<K>; readonly expected: number[] };
  expected.forEach((value, k) => {
    const row = Object.fromEntries(columns.map((column) => [column, input[column][k]])) as Record<K, number>;
    expect(Math.abs(ours(row) - value), JSON.stringify(row)).toBeLessThan(within);
  });
}

describe('tails against R stats', () => {
  it('noncentral χ²', () => { each('noncentral chi-square', ['x', 'df', 'ncp'], (r) => noncentralChiSquareUpperTail(r.x, r.df, r.ncp)); });
  it('noncentral t', () => { each('noncentral t', ['t', 'df', 'ncp'], (r) => noncentralTUpperTail(r.t, r.df, r.ncp)); });
  it('noncentral F', () => { each('noncentral F', ['x', 'df1', 'df2', 'ncp'], (r) => noncentralFUpperTail(r.x, r.df1, r.df2, r.ncp), 1e-9); }); // R stops its sum there
  it('beta, each tail to its own last digits', () => {
    const { input, expected } = named('beta') as { input: Columns<'a' | 'b' | 'x'>; expected: Columns<'lower' | 'upper'> };
    expected.lower.forEach((lower, k) => {
      const tails = betaTails(input.a[k]!, input.b[k]!, input.x[k]!);
      expect(tails.lower / lower).toBeCloseTo(1, 12);
      expect(tails.upper / expected.upper[k]!).toBeCloseTo(1, 12);
    });
  });
});

describe('power against R stats', () => {
  it('two proportions: torn repairs after two techniques', () => { each('two proportions', ['p', 'q', 'n', 'alpha'], (r) => proportionsPower([r.p, r.q])([r.n, r.n], r.alpha)); });
  it('two means: a shoulder score', () => { each('two means', ['difference', 'sd', 'n', 'alpha'], (r) => meansPower(r.difference, r.sd, 0)([r.n, r.n], r.alpha)); });
  it('two means in unequal arms, adjusted for baseline', () => {
    each('two means, unequal arms, adjusted', ['difference', 'sd', 'covariates', 'n', 'm'], (r) => meansPower(r.difference, r.sd, r.covariates)([r.n, r.m], 0.05));
  });
  it('three means', () => {
    const { input, expected } = named('three means') as { input: { means: number[][]; sd: number[]; n: number[] }; expected: number[] };
    expected.forEach((value, k) => {
      const n = input.n[k]!;
      expect(meansOverall(input.means[k]!, input.sd[k]!, 0)([n, n, n], 0.05)).toBeCloseTo(value, 8); // R stops its sum at 1e-9
    });
  });
  it('three proportions', () => {
    const { input, expected } = named('three proportions') as { input: { p: number[]; n: number[] }[]; expected: number[] };
    expected.forEach((value, k) => { expect(proportionsOverall(input[k]!.p)(input[k]!.n, 0.05)).toBeCloseTo(value, 10); });
  });
  it('the chance to see an event, against numerical integration', () => {
    each('chance of an event', ['hazard', 'accrual', 'further', 'loss'], (r) => eventChance(r.hazard, { accrual: r.accrual, further: r.further, lossHazard: r.loss }));
    expect(eventChance(0, { accrual: 2, further: 1, lossHazard: 0 })).toBe(0);
    expect(1 - Math.exp(-hazardOf(0.05, 10) * 10)).toBeCloseTo(0.05, 14);
  });
});

describe('what must hold', () => {
  it('hazards: with the events that Schoenfeld’s formula asks for, the power is what was asked', () => {
    for (const share of [0.5, 0.2]) {
      const total = eventsNeeded(2, share, { power: 0.9 }) / 0.1; // one in ten has an event
      expect(hazardsPower(Math.log(2), [0.1, 0.1])([total * share, total * (1 - share)], 0.05)).toBeCloseTo(0.9, 12);
    }
  });
  it('two arms: the overall test of hazards is the pair’s, both directions counted', () => {
    const n = [150, 150] as const, b = Math.log(1.6), z = 1.959963984540054, mean = b * Math.sqrt(300 * 0.2 * 0.25);
    const pair = hazardsPower(b, [0.2, 0.2])(n, 0.05), other = 1 - 0.5 * (1 + erf((z + mean) / Math.SQRT2));
    expect(hazardsOverall([0, b], [0.2, 0.2])(n, 0.05)).toBeCloseTo(pair + other, 9);
  });
  it('not worse: a trial without true difference is symmetric, and a wider margin or more procedures help', () => {
    expect(meansNotBelow(0, 5, 12, 1)([80, 80], 0.05)).toBeGreaterThan(meansNotBelow(-1, 5, 12, 1)([80, 80], 0.05));
    expect(proportionsNotAbove([0.05, 0.05], 0.05)([300, 300], 0.05)).toBeGreaterThan(proportionsNotAbove([0.05, 0.05], 0.04)([300, 300], 0.05));
    expect(hazardsNotAbove(0, 1.5, [0.05, 0.05])([4000, 4000], 0.05)).toBeGreaterThan(hazardsNotAbove(0, 1.5, [0.05, 0.05])([2000, 2000], 0.05));
    expect(meansPower(5, 12, 3)([2, 2], 0.05)).toBe(0);
  });
  // common practice, no source for the setting; the formula by hand: (1.959964 + 0.841621)² · 2 · 0.05 · 0.95 / 0.05² = 298.3 per arm
  it('not worse by five points in a hundred where five in a hundred have it: 299 in each arm', () => {
    expect(proportionsNotAbove([0.05, 0.05], 0.05)([298, 298], 0.05)).toBeLessThan(0.8);
    expect(proportionsNotAbove([0.05, 0.05], 0.05)([299, 299], 0.05)).toBeGreaterThan(0.8);
  });
});

/** Abramowitz & Stegun 7.1.6. */
function erf(x: number): number {
  let term = x, sum = x;
  for (let k = 1; Math.abs(term) > 1e-17; ++k) sum += term *= (2 * x * x) / (2 * k + 1);
  return (2 / Math.sqrt(Math.PI)) * Math.exp(-x * x) * sum;
}
