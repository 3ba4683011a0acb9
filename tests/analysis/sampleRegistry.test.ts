import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import type { Analysis, CoxResult, Estimate } from '@/lib/analysis/result';
import { approachCodes, codesOf, fixationCodes, indicationCodes, procedureClassCodes, sexCodes } from '@/lib/contract/codes';
import { comparisons, covariates, Question } from '@/lib/contract/question';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { NotEstimable } from '@/lib/stats/cells';
import { fixture } from '../stats/rows';
import { differences } from '../cli/differences';
import { loadSample } from './sampleExtract';

let extract: LoadedExtract;
beforeAll(async () => {
  extract = await loadSample();
});
afterAll(() => extract.database.close());

async function answered(asked: object): Promise<Analysis> {
  const result = await analyse(extract, Question.parse(asked));
  if (result.status === 'empty') throw new Error(result.reason);
  return result;
}

const limits = (estimate: Estimate | NotEstimable) => ('status' in estimate ? estimate.reason : [estimate.value, estimate.lower, estimate.upper]);

/** The answer in the shape of the fixture. */
function asRecorded({ groups, atTimes, rates, logRank, unadjusted, adjusted, periods }: Analysis) {
  const model = (cox: CoxResult | NotEstimable) => cox.status === 'ok' && {
    level: cox.ratios.map((r) => r.level), ratio: cox.ratios.map((r) => limits(r.estimate)), p: cox.ratios.map((r) => r.p),
    zph: 'status' in cox.proportionalHazards ? null : {
      term: cox.proportionalHazards.map((t) => t.term), chisq: cox.proportionalHazards.map((t) => t.chisq),
      df: cox.proportionalHazards.map((t) => t.df), p: cox.proportionalHazards.map((t) => t.p),
    },
  };
  return {
    groups: groups.map(({ key, procedures, patients, events, competing, componentYears }, g) => ({
      group: key, procedures, patients, events, deaths: competing.deaths, componentYears, rate: limits(rates[g]!.per100),
      at: atTimes.filter((at) => at.group === key).map((at) => ({ years: at.years, atRisk: at.atRisk, events: at.events, percent: limits(at.estimate) })),
    })),
    logRank,
    unadjusted: model(unadjusted),
    adjusted: model(adjusted),
    periods: { ratio: 'status' in periods ? null : periods.map((period) => limits(period.ratios[0]!.estimate)) },
  };
}

describe('pegged against keeled glenoid components, adjusted for age and sex, to ten years', () => {
  // tests/reference/sampleRegistry.R: R 4.2.2, survival 3.5-3, from the CSV files of the extract to the estimates.
  it('has the numbers that R has from the same extract', async () => {
    const asked = JSON.parse(readFileSync(new URL('../../sample-registry/question.json', import.meta.url), 'utf8')) as object;
    const { cases: [recorded] } = fixture('sampleRegistry') as { cases: [{ input: { version: string }; expected: object }] };
    expect(extract.source.version).toBe(recorded.input.version);
    expect(differences(recorded.expected, asRecorded(await answered(asked)), 1e-8)).toEqual([]);
  });
});

interface Truth {
  readonly planted: { readonly components: readonly { readonly model: string; readonly hazardRatio: number }[] };
  readonly periodStartDays: readonly number[];
  readonly designs: readonly { readonly class: string; readonly role: string; readonly allRevisions: Readonly<Record<string, readonly number[]>> }[];
}
const truth = JSON.parse(readFileSync(new URL('../../sample-registry/truth.json', import.meta.url), 'utf8')) as Truth;

describe('what was planted in the sample registry is found again', () => {
  const caseMix = ['age_linear', 'sex', 'indication'];

  it.each(['all_poly_keeled', 'metal_backed'])('the ratio of %s to pegged components in each period from two years on', async (design) => {
    const asked = { cohort: { classes: ['anatomic_total'] }, groups: ['all_poly_pegged', design], reference: 'all_poly_pegged', adjust: caseMix, cutYears: [2, 5, 7] };
    const { periods } = await answered(asked);
    if ('status' in periods) throw new Error(periods.reason);
    const planted = truth.designs.find((d) => d.class === 'anatomic_total' && d.role === 'glenoid')!.allRevisions[design]!;
    for (const { fromDay, ratios: [ratio] } of periods.slice(1)) {
      const ratioPlanted = Math.exp(planted[truth.periodStartDays.indexOf(fromDay)]!);
      expect('value' in ratio!.estimate && ratio!.estimate.lower < ratioPlanted && ratioPlanted < ratio!.estimate.upper, `from day ${fromDay}`).toBe(true);
    }
  });

  it('the glenoid component that is revised more often than others of its design', async () => {
    const outlier = truth.planted.components[0]!;
    const { adjusted } = await answered({
      cohort: { classes: ['anatomic_total'], designs: ['all_poly_fluted_peg'] }, compare: 'model', reference: 'G-FLU-01', adjust: caseMix,
    });
    if (adjusted.status !== 'ok') throw new Error(adjusted.reason);
    const found = adjusted.ratios.find((ratio) => ratio.level === outlier.model)!.estimate;
    expect('value' in found && found.lower > 1 && found.lower < outlier.hazardRatio && outlier.hazardRatio < found.upper).toBe(true);
  });

  // Common practice, no source.
  it('metal-backed components are revised over five times as often as pegged ones in the first seven years', async () => {
    const { rates } = await answered({ cohort: { classes: ['anatomic_total'] }, groups: ['all_poly_pegged', 'metal_backed'], horizonYears: 7 });
    const [pegged, metalBacked] = rates.map((rate) => rate.events / rate.componentYears);
    expect(metalBacked! / pegged!).toBeGreaterThan(5);
  });
});

describe('one against all others as one group', () => {
  it('of two sexes is one against the other', async () => {
    const adjust = ['age', 'indication'];
    const others = await answered({ compare: 'sex', groups: ['male'], withOthers: true, adjust });
    const named = await answered({ compare: 'sex', groups: ['male', 'female'], reference: 'female', adjust });
    expect(others.groups.map(({ key }) => key)).toEqual(['male', 'others']);
    expect(others.reference).toBe('others');
    expect(asRecorded(others).adjusted).toEqual(asRecorded(named).adjusted);
    expect(asRecorded(others).periods).toEqual(asRecorded(named).periods);
    expect(others.caseMix).toEqual(named.caseMix);
  });

  it('of the models of a design is all of them but those left out', async () => {
    const cohort = { role: 'glenoid', designs: ['all_poly_pegged'] }, ofEach = await answered({ cohort, compare: 'model' });
    const [first, second, ...rest] = ofEach.groups;
    const { groups, rates, attrition } = await answered({ cohort: { ...cohort, exceptModels: [second!.key] }, compare: 'model', groups: [first!.key], withOthers: true });
    const total = (of: 'procedures' | 'events' | 'componentYears') => rest.reduce((sum, group) => sum + group[of], 0);
    expect(groups.map(({ procedures, events }) => [procedures, events])).toEqual([[first!.procedures, first!.events], [total('procedures'), total('events')]]);
    expect(rates[1]!.componentYears).toBeCloseTo(total('componentYears'), 6);
    expect(attrition.find(({ label }) => label === `Without model ${second!.key}`)?.excluded).toBe(second!.procedures);
  });

  it('says so where nobody is left to be the others', async () => {
    const { groups, reference, notes } = await answered({ compare: 'sex', groups: ['female', 'male'], withOthers: true });
    expect([groups.length, reference]).toEqual([2, 'female']);
    expect(notes[0]).toMatch(/^All others is not shown: no procedure/);
  });
});

describe('codes in the database', () => {
  // Covariates are counted by the position of their codes.
  it.each([
    ['sex', codesOf(sexCodes)], ['indication', codesOf(indicationCodes)], ['class', codesOf(procedureClassCodes)], ['approach', codesOf(approachCodes)],
    ['proximal_fixation', codesOf(fixationCodes)], ['distal_fixation', codesOf(fixationCodes)],
  ] as const)('of %s have the order of the list', async (column, list: readonly string[]) => {
    const sql = `SELECT DISTINCT ${column}::VARCHAR AS code, enum_code(${column})::INTEGER AS position FROM followup WHERE ${column} IS NOT NULL`;
    const result = await extract.database.query({ sql, params: [] });
    expect(result.rowCount).toBeGreaterThan(1);
    expect([...result.numbers('position')]).toEqual(result.texts('code').map((code) => list.indexOf(code ?? '')));
  });
});

describe('every comparison and every covariate has an answer', () => {
  it.each(comparisons)('compares by %s, adjusted for age and sex', async (compare) => {
    const { groups, curves, attrition, adjusted } = await answered({ compare, cohort: { classes: [] }, adjust: ['age', 'sex'] });
    expect(groups.length).toBeGreaterThanOrEqual(2);
    expect(groups.reduce((sum, group) => sum + group.procedures, 0)).toBe(attrition.at(-1)!.remaining);
    expect(curves.map((curve) => curve.group)).toEqual(groups.map((group) => group.key));
    expect(adjusted.status).toBe('ok');
  });

  it.each(covariates)('adjusts designs for %s', async (covariate) => {
    const { unadjusted, adjusted, groups } = await answered({ adjust: [covariate], cohort: { minAge: 50 } });
    if (unadjusted.status !== 'ok' || adjusted.status !== 'ok') throw new Error('no estimate');
    expect([adjusted.procedures, adjusted.events]).toEqual([unadjusted.procedures, unadjusted.events]);
    const missing = adjusted.leftOut.reduce((sum, left) => sum + left.missing, 0);
    expect(adjusted.procedures + missing).toBe(groups.reduce((sum, group) => sum + group.procedures, 0));
    expect(adjusted.ratios.some((ratio) => ratio.term === covariate)).toBe(true);
  });
});
