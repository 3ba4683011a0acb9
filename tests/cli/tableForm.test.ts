import { describe, expect, it } from 'vitest';
import { fixture } from '../stats/rows';
import { differences } from './differences';
import { csvOf, printed, rowsOf, type Columns } from './printed';

interface Case {
  readonly name: string;
  readonly input: Columns;
  readonly options: Readonly<Record<string, string | number>>;
  readonly expected: { readonly km: readonly Curves[] };
}
interface Curves { readonly curve: Columns }

// tests/reference/commandLine.R: R 4.2.2, survival 3.5-3, on data sets that come with survival.
describe('a table on the command line says what R says', () => {
  const { cases } = fixture('commandLine') as { readonly cases: readonly Case[] };

  it.each(cases)('$name', async ({ input, options, expected }) => {
    const found = await printed(csvOf(input), options);
    const wanted = { ...expected, km: expected.km.map((group) => ({ ...group, curve: rowsOf(group.curve) })) };
    expect(differences(wanted, found, 1e-8)).toEqual([]);
  });
});

describe('what is not complete or not estimable', () => {
  const study = 'years,event,arm,age\n1,1,a,60\n2,0,a,\n3,1,,70\n4,2,b,80\n,1,b,50\n5,0,b,55\n';

  it('leaves rows out of the estimates that need what they lack, and counts them', async () => {
    const found = await printed(study, { time: 'years', event: 'event', group: 'arm', covariates: 'age' });
    expect(found).toMatchObject({
      n: 5, events: 2, leftOut: { followUp: 1, km: 2, rates: 2, logrank: 2, cox: 2 },
      km: [{ group: 'a', n: 2, events: 1 }, { group: 'b', n: 2, events: 0 }],
      cox: { n: 4, events: 2 },
    });
  });

  it('has one group, no log-rank test and no model where none is asked for', async () => {
    const found = await printed(study, { time: 'years', event: 'event' });
    expect(found).toMatchObject({ km: [{ group: 'all', n: 5 }], logrank: null, cox: null, ph: null });
  });

  it('says why a ratio has no estimate', async () => {
    const found = await printed(study, { time: 'years', event: 'event', group: 'arm' });
    expect(found).toMatchObject({
      cox: { terms: [{ term: 'arm', level: 'b', coef: null, hr: null, status: 'notEstimable', reason: 'no revisions among the 2 procedures with arm b' }] },
    });
  });

  it('says why nothing is estimable where no row is complete', async () => {
    const found = await printed('t,e,g\n,1,a\n1,,a\n', { time: 't', event: 'e', group: 'g', at: '1' });
    const no = { status: 'notEstimable' };
    expect(found).toMatchObject({
      n: 0, leftOut: { followUp: 2, km: 2, rates: 2, logrank: 2, cox: 2 }, km: [{ n: 0, curve: [], at: [{ ...no, percent: null }] }],
      rates: [{ ...no, per100: null }], logrank: { ...no, p: null }, cox: no, ph: no,
    });
  });

  it('has no coefficient for a factor of one level', async () => {
    const found = await printed('t,e,g\n1,1,a\n2,0,a\n', { time: 't', event: 'e', group: 'g' });
    expect(found).toMatchObject({ logrank: { status: 'notEstimable' }, cox: { terms: [], tests: { wald: { status: 'notEstimable' } } } });
  });

  it('keeps an event at time 0', async () => {
    const found = await printed('t,e\n0,1\n2,0\n', { time: 't', event: 'e' });
    expect(found).toMatchObject({ km: [{ curve: [{ time: 0, atRisk: 2, events: 1, percent: 50 }, { time: 2, atRisk: 1, percent: 50 }] }] });
  });

  it.each([
    ['t,e\n-1,0\n', "study.csv line 2, 't' (--time): must be a number of at least 0 or empty: '-1'"],
    ['t,e\n1,0.5\n', "study.csv line 2, 'e' (--event): must be 0 (censored), 1 (the event of interest) or 2 to 255 (competing events) or empty: '0.5'"],
    ['t,e\n1,TRUE\n', "or empty: 'TRUE'"],
    ['t\n1\n', "study.csv: no column 'e' for --event; it has t"],
  ])('refuses %j', async (csv, message) => {
    await expect(printed(csv, { time: 't', event: 'e' })).rejects.toThrow(message);
  });

  it.each([
    { options: { entry: 'x' }, message: 'study.csv line 3: --entry must be before --time (2): 2' },
    { options: { count: 'x' }, message: "study.csv line 4, 'x' (--count): must be a whole number of at least 1 or empty: '0'" },
    { options: { covariates: 'arm' }, message: "study.csv line 2, 'arm' (--covariates): must be a number (name the column in --factors if it is none) or empty: 'new'" },
  ])('refuses $options', async ({ options, message }) => {
    const csv = 't,e,x,arm\n2,1,1,new\n2,0,2,old\n3,0,0,old\n';
    await expect(printed(csv, { time: 't', event: 'e', ...options })).rejects.toThrow(message);
  });
});
