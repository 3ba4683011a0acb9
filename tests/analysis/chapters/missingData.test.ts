import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { normalQuantile } from '@/lib/stats/distributions/normal';
import type { NotEstimable } from '@/lib/stats/cells';
import type { FollowupRow } from '../../cohort/followup';
import { differences } from '../../cli/differences';
import { fixture } from '../../stats/rows';
import { loadSample } from '../sampleExtract';
import { chapterOf, chapterOfRows, limitsOf } from './ask';

interface Recorded {
  readonly input: { readonly version: string; readonly question: object };
  readonly expected: {
    readonly procedures: readonly number[]; readonly complete: readonly number[]; readonly missing: Readonly<Record<string, readonly number[]>>;
    readonly completeCase: { readonly procedures: number; readonly events: number; readonly ratio: readonly number[] };
    readonly imputed: { readonly log: number; readonly error: number; readonly between: number };
  };
}
const known = <T extends { status: 'ok' }>(part: T | NotEstimable): T => {
  if (part.status !== 'ok') throw new Error(part.reason);
  return part;
};

describe('what is not recorded in the sample registry', () => {
  let extract: LoadedExtract;
  beforeAll(async () => {
    extract = await loadSample();
  });
  afterAll(() => extract.database.close());

  // tests/reference/sampleMissingData.R: R 4.2.2, survival 3.5-3, mice 3.15.0, from the CSV files of the extract to the estimates.
  it('is counted as R counts it, and filled in to the ratio that mice comes to', async () => {
    const { cases: [{ input, expected }] } = fixture('sampleMissingData') as { readonly cases: readonly [Recorded] };
    expect(extract.source.version).toBe(input.version);
    const { groups, covariates, completeCase, imputed, comparison } = await chapterOf(extract, 'missingData', input.question);
    expect(groups.map(({ procedures }) => procedures)).toEqual(expected.procedures);
    expect(groups.map(({ complete }) => complete)).toEqual(expected.complete);
    expect(Object.fromEntries(covariates.map(({ covariate, missing }) => [covariate, missing]))).toEqual({ age: [0, 0], sex: [0, 0], ...expected.missing });
    const { ratios, ...counts } = known(completeCase);
    expect(differences(expected.completeCase, { ...counts, ratio: limitsOf(ratios[0]!) }, 1e-7)).toEqual([]);
    const filled = known(imputed), [value, lower, upper] = limitsOf(filled.ratios[0]!) as [number, number, number];
    expect([filled.procedures, filled.imputations, filled.seed]).toEqual([3499, 20, 1]);
    // Both are means over imputations, of 20 and of 60; four standard errors of their difference, and the digits that are recorded
    expect(Math.abs(Math.log(value) - expected.imputed.log)).toBeLessThan(4 * expected.imputed.between * Math.sqrt(1 / 20 + 1 / 60) + 0.0005);
    const error = Math.log(upper / lower) / (-2 * normalQuantile(0.025)); // t with some 160 degrees of freedom is wider than normal by under 1 %
    expect(Math.abs(error / expected.imputed.error - 1)).toBeLessThan(0.03);
    expect(comparison).toEqual([{ group: 'all_poly_keeled', label: 'All-polyethylene keeled', shift: value / limitsOf(ratios[0]!)[0]!, differ: true }]); // limits of few complete cases include 1
  });
});

const revised: FollowupRow = { ending: 'revision', kind: 'major', reason: 'infection' };

/**
 * Two designs revised alike, the sicker patients three times as often. Grades were not written down of keeled components that were revised, but
 * for one in four.
 */
const lostWhereRevised: readonly FollowupRow[] = Array.from({ length: 800 }, (_, i) => {
  const keeled = i % 2 === 1, turn = Math.floor(i / 2), sick = turn % 2 === 1, isRevised = Math.floor(turn / 2) % 10 < (sick ? 3 : 1);
  const lost = keeled && isRevised && Math.floor(turn / 20) % 4 > 0;
  return {
    ...(keeled && { glenoid_design: 'all_poly_keeled', glenoid_model: 'G-20' }), age: 60 + (turn % 25), sex: turn % 3 === 0 ? 'male' : 'female', asa: lost ? null : sick ? 3 : 2,
    exit_day: 3000 + turn, ...(isRevised && { ...revised, exit_day: 100 + 6 * turn }),
  };
});
const asked = { groups: ['all_poly_pegged', 'all_poly_keeled'], reference: 'all_poly_pegged', adjust: ['asa'], cluster: 'none' };

describe('grades that are lost where revisions are', () => {
  it('make a design look better than it is, until they are filled in; the two answers are said to differ', async () => {
    const { groups, covariates, completeCase, imputed, comparison: [comparison] } = await chapterOfRows(lostWhereRevised, 'missingData', asked);
    expect(groups.map(({ procedures, complete }) => procedures - complete)).toEqual([0, 60]);
    expect(covariates).toEqual([{ covariate: 'asa', label: 'ASA grade', missing: [0, 60], percents: [0, 15] }]);
    expect(limitsOf(known(completeCase).ratios[0]!)[0]).toBeLessThan(0.4);
    const { ratios, missingInformation, procedures, events } = known(imputed), [value] = limitsOf(ratios[0]!);
    expect([procedures, events]).toEqual([800, 160]);
    expect(value! > 0.85 && value! < 1.15).toBe(true);
    expect(missingInformation[0]! > 0 && missingInformation[0]! < 0.5).toBe(true);
    expect(comparison!.differ).toBe(true);
    expect(comparison!.shift).toBeGreaterThan(2);
  });

  it('are filled in the same way every time', async () => {
    const again = async () => (await chapterOfRows(lostWhereRevised, 'missingData', asked)).imputed;
    expect(await again()).toEqual(await again());
  });

  it('and a grade that is never recorded cannot be filled in', async () => {
    const { completeCase, imputed, comparison } = await chapterOfRows(lostWhereRevised.map((row) => ({ ...row, asa: null })), 'missingData', asked);
    expect(completeCase).toEqual({ status: 'notEstimable', reason: 'not recorded for any procedure of the cohort: ASA grade' });
    expect(imputed).toEqual({ status: 'notEstimable', reason: 'not recorded for any procedure of the cohort: ASA grade' });
    expect(comparison).toEqual([]);
  });

  it('and one that is the same wherever it is recorded is taken for that', async () => {
    const { imputed } = await chapterOfRows(lostWhereRevised.map((row) => ({ ...row, asa: row['asa'] === null ? null : 2 })), 'missingData', asked);
    expect(limitsOf(known(imputed).ratios[0]!)[0]).toBeCloseTo(1, 1);
  });
});

describe('nothing to fill in', () => {
  it.each([
    { why: 'all is recorded', question: { adjust: ['age', 'sex'] }, reason: 'every covariate that is adjusted for is recorded for everyone' },
    { why: 'nothing is adjusted for', question: { adjust: [] }, reason: 'every covariate that is adjusted for is recorded for everyone' },
    { why: 'there is one group', question: { groups: ['all_poly_keeled'], reference: null }, reason: 'there is only one group' },
  ])('where $why', async ({ question, reason }) => {
    const { imputed, comparison } = await chapterOfRows(lostWhereRevised, 'missingData', { ...asked, ...question });
    expect(imputed).toEqual({ status: 'notEstimable', reason });
    expect(comparison).toEqual([]);
  });
});
