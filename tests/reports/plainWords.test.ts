import { describe, expect, it } from 'vitest';
import type { Analysis, PeriodRatios } from '@/lib/analysis/result';
import { plainWords } from '@/lib/reports/plainWords';
import { at, cox, estimate, keeled, notRead, pegged, pegsAndKeels, ratio, stoppedAt } from './pegsAndKeels';

const said = (part: Partial<Analysis> = {}) => plainWords(pegsAndKeels(part)).flatMap(({ sentences }) => sentences.map(({ text }) => text));
const period = (fromDay: number, toDay: number | null, hr: PeriodRatios['ratios'][number]['estimate']): PeriodRatios => ({ fromDay, toDay, ratios: [ratio({ estimate: hr })] });
const changing = cox({ groupsProportional: false, proportionalHazards: [{ term: 'group', label: 'Group', chisq: 4.6, df: 1, p: 0.032 }] });

describe('the answer in words', () => {
  it('says percentages with their limits at the last time, the difference, and the ratio with what it is adjusted for', () => {
    expect(said()).toEqual([
      'At 10 years, 9.5% (95% CI 8.3–10.8) of “All-polyethylene keeled” and 5.8% (95% CI 5.1–6.6) of “All-polyethylene pegged” had been revised for any reason, if patients did not die.',
      'Before any adjustment, that is 3.7 percentage points more (95% CI 2.3–5.2) in “All-polyethylene keeled”.',
      'Adjusted for age and sex, revision was more frequent in “All-polyethylene keeled”: hazard ratio 1.62 (95% CI 1.36–1.94).',
    ]);
  });

  it.each<[string, Partial<Analysis>, RegExp]>([
    ['limits on both sides of 1 show no difference, and do not show that there is none', { adjusted: cox({ ratios: [ratio({ estimate: estimate(1.08, 0.92, 1.27) })] }) },
      /hazard ratio of “All-polyethylene keeled” is 1\.08 \(95% CI 0\.92–1\.27\): the data agree with anything from 8% fewer to 27% more revisions\. No difference is shown, and none is ruled out\./],
    ['fewer revisions are said as fewer', { adjusted: cox({ ratios: [ratio({ estimate: estimate(0.5, 0.4, 0.62) })] }) }, /revision was less frequent in “All-polyethylene keeled”: hazard ratio 0\.50/],
    ['without adjustment the words say so', { adjusted: cox({ adjustedFor: [] }) }, /^Without adjustment, revision was more frequent/],
    ['a ratio that changes is said by period and never as one number',
      { adjusted: changing, periods: [period(0, 183, estimate(1.47, 0.89, 2.42)), period(183, 731, estimate(1.14, 0.7, 1.84)), period(731, null, estimate(1.78, 1.44, 2.2))] },
      /changes with time since surgery \(test of proportional hazards: p = 0\.032\), so one number for all times would mislead\. Adjusted for age and sex, the hazard ratio of “All-polyethylene keeled” was in the first 6 months 1\.47 \(95% CI 0\.89–2\.42\); from 6 months to 2 years 1\.14 \(.*\); after 2 years 1\.78 \(95% CI 1\.44–2\.20\)\.$/],
    ['a period without revisions says so', { adjusted: changing, periods: [period(0, 183, { status: 'notEstimable', reason: 'no revisions in the reference group' })] },
      /in the first 6 months not estimable \(no revisions in the reference group\)/],
    ['no model, and why', { adjusted: { status: 'notEstimable', reason: 'no revisions in the cohort' } }, /^A hazard ratio can't be estimated: no revisions in the cohort\.$/],
    ['an untested ratio is said to be untested', { adjusted: cox({ proportionalHazards: { status: 'notEstimable', reason: 'too few revisions' } }) }, /could not be tested: too few revisions\./],
    ['a stopped curve says where and how many were left', { curves: [stoppedAt('all_poly_keeled', 3068, 50)] }, /^Beyond 8\.4 years too few are followed in “All-polyethylene keeled” \(50 at risk at that time\)/],
    ['a curve that few begin is not said to stop after 0.0 years', { curves: [stoppedAt('all_poly_keeled', 3, 20)] }, /^Almost from the start too few are followed in “All-polyethylene keeled” \(20 at risk at that time\); its results are not shown\.$/],
    ['other kinds of revision end follow-up, and the words say so',
      { question: { ...pegsAndKeels().question, outcome: { kinds: ['major', 'minor'], reasons: ['glenoid_loosening'], ofRoleOnly: false } } },
      /had been revised for glenoid loosening, if patients neither died nor/],
  ])('%s', (_, part, words) => {
    expect(said(part)).toContainEqual(expect.stringMatching(words));
  });

  it('never gives the single ratio where it would mislead', () => {
    expect(said({ adjusted: changing, periods: [period(0, null, estimate(1.5, 1.1, 2))] }).join(' ')).not.toContain('1.62');
  });

  it('falls back on the last time that can be read in both groups', () => {
    const atTimes = [at(7, 'all_poly_pegged', 229, estimate(4, 3.5, 4.6)), at(7, 'all_poly_keeled', 146, estimate(4.1, 3.4, 4.9)), at(10, 'all_poly_pegged', 276, estimate(5.8, 5.1, 6.6)), at(10, 'all_poly_keeled', 210, notRead)];
    expect(said({ atTimes })[0]).toMatch(/^At 7 years, 4\.1%/);
    expect(said({ atTimes })[1]).toBe('Before any adjustment, the difference could go either way: 0.1 percentage points more (95% CI from 0.8 fewer to 1.0 more) in “All-polyethylene keeled”.');
    expect(said({ atTimes: [at(10, 'all_poly_pegged', 276, notRead), at(10, 'all_poly_keeled', 2, notRead)] })[0]).toMatch(/^Too few are followed in .* to read a percentage/);
  });

  it('keeps words that could be computed back to fewer than five people on the page', () => {
    const atTimes = [at(10, 'all_poly_pegged', 276, estimate(5.8, 5.1, 6.6)), at(10, 'all_poly_keeled', 3, estimate(0.1, 0.02, 0.3))];
    const [reading] = plainWords(pegsAndKeels({ atTimes }));
    expect(reading?.sentences.map(({ staysInside }) => staysInside)).toEqual([true, true, false]);
  });

  it('reads one group alone, and each of several against the reference', () => {
    expect(plainWords(pegsAndKeels({ groups: [keeled], reference: 'all_poly_keeled' })).map(({ heading }) => heading)).toEqual(['All-polyethylene keeled']);
    const third = { ...keeled, key: 'metal_backed', label: 'Metal-backed' };
    expect(plainWords(pegsAndKeels({ groups: [pegged, keeled, third] })).map(({ heading }) => heading))
      .toEqual(['All-polyethylene keeled against all-polyethylene pegged', 'Metal-backed against all-polyethylene pegged']);
  });
});
