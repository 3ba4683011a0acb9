import { describe, expect, it } from 'vitest';
import type { Contrast, ContrastAtTime, Difference } from '@/lib/analysis/chapters/differenceResult';
import { proceduresPerRevision } from '@/lib/stats/proceduresPerRevision';
import { conditionalWords, contrastWords, leadingTime, meanTimeWords, pointsWords, proceduresWords } from '@/lib/reports/chapters/differenceWords';
import { estimate, keeled, pegged, pegsAndKeels } from '../pegsAndKeels';

const none = { status: 'notEstimable', reason: 'too few at risk (n = 31)' } as const;

describe('a difference in percentage points', () => {
  it.each([
    ['more, and clearly', estimate(2.37, 1.09, 3.74), '2.4 percentage points more (95% CI 1.1–3.7)'],
    ['fewer, and clearly: the nearer limit first', estimate(-2.37, -3.74, -1.09), '2.4 percentage points fewer (95% CI 1.1–3.7)'],
    ['either way', estimate(0.7, -0.026, 1.51), '0.7 percentage points more (95% CI from <0.1 fewer to 1.5 more: it could go either way)'],
    ['a limit at no difference is either way', estimate(-1, -2, 0), '1.0 percentage points fewer (95% CI from 2.0 fewer to 0.0 more: it could go either way)'],
  ])('%s', (_, difference, words) => { expect(pointsWords(difference, 0.95)).toBe(words); });
});

describe('procedures for one revision', () => {
  const said = (difference: readonly [number, number, number]) =>
    proceduresWords(proceduresPerRevision({ value: difference[0], lower: difference[1], upper: difference[2] }), 10, keeled, pegged, 0.95);

  it.each([
    ['more revisions, rounded up', [2.668, 1.383, 4.049] as const,
      'That is one revision more by 10 years in every 38 procedures done with “All-polyethylene keeled” instead of “All-polyethylene pegged” (95% CI 25–73).'],
    ['fewer revisions', [-2, -4, -1] as const,
      'That is one revision fewer by 10 years in every 50 procedures done with “All-polyethylene keeled” instead of “All-polyethylene pegged” (95% CI 25–100).'],
    ['limits on both sides of none: no single number is given', [0.3, -0.0772, 0.7716] as const,
      'No single number of procedures for one revision by 10 years would be true: the limits go from one more in every 130, through none in any number, to one fewer in every 1,296.'],
    ['a limit at none', [1, 0, 2] as const,
      'No single number of procedures for one revision by 10 years would be true: the limits go from one more in every 50, through none in any number, to none in any number.'],
  ])('%s', (_, difference, words) => { expect(said(difference)).toBe(words); });

  it('says why there is none', () => {
    expect(proceduresWords(none, 10, keeled, pegged, 0.95)).toBe('How many procedures it takes for one revision by 10 years can’t be said: too few at risk (n = 31).');
  });
});

const at = (years: number, part: Partial<ContrastAtTime> = {}): ContrastAtTime => ({
  years, atRisk: { group: 1320, reference: 1912 }, events: { group: 172, reference: 250 },
  unadjusted: { difference: estimate(2.37, 1.09, 3.74), ratio: estimate(1.45, 1.19, 1.77), test: { status: 'ok', chisq: 13.7, df: 1, p: 0.0002 } },
  adjusted: { difference: estimate(2.67, 1.38, 4.02), ratio: estimate(1.52, 1.25, 1.86) }, proceduresPerRevision: none, ...part,
});
const contrast = (...atTimes: readonly ContrastAtTime[]): Contrast => ({ group: 'all_poly_keeled', label: 'All-polyethylene keeled', atTimes });
const text = (words: readonly { readonly text: string }[]) => words.map((w) => w.text).join(' ');

describe('what the groups differ by', () => {
  it('as they are and with one case mix, at the latest time at which both may be read', () => {
    const unread = { unadjusted: { difference: none, ratio: none, test: none }, adjusted: { difference: none, ratio: none } };
    expect(leadingTime(contrast(at(5), at(7), at(10, unread)))?.years).toBe(7);
    expect(text(contrastWords(pegsAndKeels(), contrast(at(5), at(7), at(10, unread)), pegged))).toBe(
      'As the groups are, 2.4 percentage points more (95% CI 1.1–3.7) were revised by 7 years in “All-polyethylene keeled” than in “All-polyethylene pegged”, if patients did not die. '
      + 'With the case mix of all in both groups, 2.7 percentage points more (95% CI 1.4–4.0).',
    );
  });

  it('as they are where one case mix can’t be had, and why', () => {
    const words = text(contrastWords(pegsAndKeels(), contrast(at(10, { adjusted: { difference: none, ratio: none } })), pegged));
    expect(words).toMatch(/^As the groups are, .* With the case mix of all in both groups it can’t be had: too few at risk \(n = 31\)\.$/);
  });

  it('is not stated where neither may be read, and small numbers at risk are not either', () => {
    const few = { status: 'notEstimable', reason: 'too few at risk (n = 3)' } as const;
    const words = contrastWords(pegsAndKeels(), contrast(at(10, { unadjusted: { difference: few, ratio: few, test: few }, adjusted: { difference: few, ratio: few } })), pegged);
    expect(text(words)).toBe('“All-polyethylene keeled” and “All-polyethylene pegged” can’t be set against each other at any of the times asked for: too few at risk (n = fewer than 5).');
  });

  it('carries the counts behind it', () => { expect(contrastWords(pegsAndKeels(), contrast(at(10)), pegged)[0]?.basis).toEqual([172, 250]); });
});

const difference = (part: Partial<Difference>): Difference => ({
  status: 'ok', procedures: 11_113, events: 422, methods: [], notes: [], reference: 'all_poly_pegged', contrasts: [], conditional: [], hazards: [],
  restrictedMean: none, ...part,
});
const means = (value: number, lower: number, upper: number, stoppedBy: string | null = null): Difference => difference({
  restrictedMean: {
    status: 'ok', horizonDay: stoppedBy === null ? 3653 : 2010, stoppedBy, groups: [],
    differences: [{ group: 'all_poly_keeled', label: 'All-polyethylene keeled', days: estimate(value, lower, upper), p: 0.0073 }],
  },
});

describe('mean time free of revision', () => {
  it.each([
    ['shorter', means(-32.8, -56.7, -8.8), 'Of the first 10 years, the mean time free of revision in “All-polyethylene keeled” is 33 days shorter than in “All-polyethylene pegged” (95% CI 9–57; p = 0.007).'],
    ['either way', means(4, -10, 18), 'Of the first 10 years, the mean time free of revision in “All-polyethylene keeled” is 4 days longer than in “All-polyethylene pegged” (95% CI from 10 shorter to 18 longer; p = 0.007).'],
    ['to an earlier stop', means(-5, -9, -1, 'All-polyethylene keeled'), 'Looked at to 5.5 years, where too few are followed in “All-polyethylene keeled”. Of the first 5.5 years, the mean time free of revision in “All-polyethylene keeled” is 5 days shorter than in “All-polyethylene pegged” (95% CI 1–9; p = 0.007).'],
    ['none', difference({}), 'The mean time free of revision can’t be had: too few at risk (n = 31).'],
  ])('%s', (_, result, words) => { expect(text(meanTimeWords(pegsAndKeels(), result, pegged))).toBe(words); });
});

it('of those unrevised half-way, says how many were revised later', () => {
  const row = (fromYears: number, years: number, found: Difference['conditional'][number]['estimate']) =>
    ({ group: 'all_poly_keeled', label: 'All-polyethylene keeled', fromYears, years, atRiskFrom: 2269, atRisk: 1320, events: 84, estimate: found });
  const conditional = [row(1, 10, estimate(6.7, 5.7, 7.8)), row(5, 10, estimate(4.5, 3.7, 5.6)), row(7, 10, estimate(2.6, 1.9, 3.5)), row(5, 15, none)];
  expect(text(conditionalWords(pegsAndKeels(), difference({ conditional })))).toBe('Of those in “All-polyethylene keeled” unrevised at 5 years, 4.5% (95% CI 3.7–5.6) were revised by 10 years.');
});
