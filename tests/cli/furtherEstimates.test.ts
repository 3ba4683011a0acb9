import { describe, expect, it } from 'vitest';
import { fixture } from '../stats/rows';
import { differences } from './differences';
import { csvOf, printed, rowsOf, type Columns } from './printed';

interface Case {
  readonly name: string;
  readonly input: Columns;
  readonly options: Readonly<Record<string, string | number>>;
  readonly expected: { readonly smoothedHazard: { readonly groups: readonly { readonly curve: Columns }[] } };
}

// tests/reference/commandLineFurther.R: R 4.2.2, survival 3.5-3, cmprsk, etm, on data sets that come with survival.
describe('the further estimates of a table say what R says', () => {
  const { cases } = fixture('commandLineFurther') as { readonly cases: readonly Case[] };

  it.each(cases)('$name', async ({ input, options, expected }) => {
    const { smoothedHazard } = expected;
    const wanted = { ...expected, smoothedHazard: { ...smoothedHazard, groups: smoothedHazard.groups.map((group) => ({ ...group, curve: rowsOf(group.curve) })) } };
    expect(differences(wanted, await printed(csvOf(input), options), 1e-8)).toEqual([]);
  });

  // tests/reference/sharedFrailty.R; R's own search settles some five digits.
  const { cases: frailties } = fixture('sharedFrailty') as { readonly cases: readonly {
    readonly name: string; readonly ties: string;
    readonly input: { readonly exit: readonly number[]; readonly event: readonly number[]; readonly cluster: readonly number[]; readonly covariates: Columns };
    readonly found: { readonly theta: number; readonly coefficient: readonly number[]; readonly logLik: number };
  }[] };
  it.each(frailties.filter(({ name }) => /^(rats|kidney)/.test(name)))('frailty: $name', async ({ input: { exit, event, cluster, covariates }, ties, found }) => {
    const options = { time: 'exit', event: 'event', covariates: Object.keys(covariates).join(','), cluster: 'cluster', ties };
    const { frailty } = await printed(csvOf({ exit, event, cluster, ...covariates }), options);
    expect(frailty).toMatchObject({
      variance: { value: expect.closeTo(found.theta, 4) as number },
      terms: found.coefficient.map((coef) => ({ coef: expect.closeTo(coef, 4) as number, robustSe: null, status: 'ok' })),
      logLik: { frailty: expect.closeTo(found.logLik, 6) as number },
    });
  });
});

describe('further estimates that cannot be had', () => {
  const no = (reason: string) => ({ status: 'notEstimable', reason });

  it('are null where nothing is asked for that they need', async () => {
    const found = await printed('t,e\n1,1\n2,0\n3,2\n', { time: 't', event: 'e' });
    expect(found).toMatchObject({ gray: null, fineGray: null, frailty: null, contrasts: [], conditional: [], rmst: { tau: 3, differences: [] } });
  });

  it('say why', async () => {
    const csv = 't,e,g,z,x,c\n1,1,a,0,1,p\n2,0,a,0,2,p\n3,1,b,1,3,p\n4,0,b,1,4,p\n';
    const found = await printed(csv, { time: 't', event: 'e', group: 'g', entry: 'z', covariates: 'x', cluster: 'c', at: '2,9', tau: 3 });
    expect(found).toMatchObject({
      gray: [{ cause: 1, n: 2, chisq: null, ...no('at every event of this cause only one group was at risk') }], // those who entered at time 0
      fineGray: no('all procedures belong to one cluster'),
      contrasts: [
        { time: 2, difference: { value: -50, status: 'ok' }, ratio: { value: null, ...no('no revisions in one of the groups by then') } },
        { time: 9, group: 'b', against: 'a', difference: no('beyond the end of follow-up (n = 0)'), test: { p: null, ...no('beyond the end of follow-up (n = 0)') } },
      ],
      rmst: { groups: [{ group: 'a', mean: null, ...no('beyond the end of follow-up (n = 0)') }, { group: 'b', status: 'ok' }], differences: [{ group: 'b', difference: null }] },
      smoothedHazard: { bandwidth: 0.5 },
    });
  });

  it('say so where no row is complete', async () => {
    const found = await printed('t,e,g\n,1,a\n', { time: 't', event: 'e', group: 'g', at: '1' });
    expect(found).toMatchObject({
      aalenJohansen: [{ n: 0, causes: [{ cause: 1, events: 0, curve: [] }] }], rmst: { tau: null, groups: [no('no procedures')] },
      smoothedHazard: { bandwidth: null, groups: [{ curve: [], ...no('no follow-up') }] },
    });
  });
});
