import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import type { ClusteredRatios, FrailtyRatios } from '@/lib/analysis/chapters/clusteringResult';
import type { HazardRatio } from '@/lib/analysis/result';
import { Question } from '@/lib/contract/question';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { NotEstimable } from '@/lib/stats/cells';
import type { FollowupRow } from '../../cohort/followup';
import { differences } from '../../cli/differences';
import { fixture } from '../../stats/rows';
import { loadSample } from '../sampleExtract';
import { chapterOf, chapterOfRows, followed, keeled, pegged, revised, triple } from './ask';

function ok<T extends object>(result: T | NotEstimable): Exclude<T, NotEstimable> {
  if ('reason' in result) throw new Error(result.reason);
  return result as Exclude<T, NotEstimable>;
}
const first = (ratios: readonly HazardRatio[]) => ({ ratio: triple(ratios[0]!.estimate), p: ratios[0]!.p });
const of = (errors: readonly ClusteredRatios[], unit: ClusteredRatios['unit']) => errors.find((e) => e.unit === unit)!;
const withinHospitals = ({ clusters, variance, test, ratios, spread }: FrailtyRatios) =>
  ({ clusters, variance: triple(variance), ...test, ratio: first(ratios), spread: [spread.smallest, spread.largest] });

describe('clustering on the sample registry', () => {
  let extract: LoadedExtract;
  beforeAll(async () => {
    extract = await loadSample();
  });
  afterAll(() => extract.database.close());

  // tests/reference/sampleClustering.R: R 4.2.2, survival 3.5-3; its search for the variance settles some six digits.
  interface Robust { readonly clusters: number; readonly ratio: readonly number[]; readonly p: number }
  const { cases: [recorded] } = fixture('sampleClustering') as { readonly cases: readonly [{
    readonly version: string; readonly question: object;
    readonly expected: { readonly none: object; readonly robust: Readonly<Record<'patient' | 'hospital' | 'surgeon', Robust>>; readonly frailty: object };
  }] };
  it('has the limits that R has from the same extract, whatever is taken for independent', async () => {
    expect(extract.source.version).toBe(recorded.version);
    const { errors, frailty } = await chapterOf(extract, 'clustering', recorded.question);
    expect(errors.map(({ unit, asked, few }) => [unit, asked, few])).toEqual([
      ['none', false, false], ['patient', true, false], ['hospital', false, false], ['surgeon', false, false],
    ]);
    const { none, robust } = recorded.expected;
    expect(differences(none, first(ok(of(errors, 'none').ratios)), 1e-8)).toEqual([]);
    for (const unit of ['patient', 'hospital', 'surgeon'] as const) {
      const { clusters, ratios } = of(errors, unit);
      expect(differences(robust[unit], { clusters, ...first(ok(ratios)) }, 1e-8), unit).toEqual([]);
    }
    expect(differences(recorded.expected.frailty, withinHospitals(ok(frailty)), 1e-5)).toEqual([]);
  });

  it('says of the cluster asked for what the answer itself says', async () => {
    const asked = { cohort: { classes: ['anatomic_total'] }, adjust: ['age', 'asa'], strata: ['sex'], cluster: 'surgeon' };
    const { errors, leftOut, adjustedFor } = await chapterOf(extract, 'clustering', asked);
    const answer = await analyse(extract, Question.parse(asked));
    const main = ok(answer.status === 'ok' && answer.adjusted.status === 'ok' ? answer.adjusted : { status: 'notEstimable', reason: 'no answer' } as const);
    expect(ok(errors.find((e) => e.asked)!.ratios)).toEqual(main.ratios.filter((r) => r.term === 'group'));
    expect([leftOut, adjustedFor]).toEqual([main.leftOut, main.adjustedFor]);
  });
});

// Female rats in litters of three, one of them given the drug: Mantel, Bohidar & Ciminera 1977, Cancer Res 37:3863; weeks as days
const { cases } = fixture('sharedFrailty') as { readonly cases: readonly {
  readonly name: string;
  readonly input: { readonly exit: readonly number[]; readonly event: readonly number[]; readonly cluster: readonly number[]; readonly covariates: { readonly rx: readonly number[] } };
  readonly found: { readonly theta: number; readonly coefficient: readonly number[] };
}[] };
const rats = cases.find(({ name }) => name === 'rats, females, litters, efron')!;
const litters: readonly FollowupRow[] = rats.input.exit.map((exit, i) => ({
  ...(rats.input.covariates.rx[i] === 1 ? keeled : pegged), ...(rats.input.event[i] === 1 ? revised(exit) : followed(exit)), hospital: `H${rats.input.cluster[i]!}`,
}));

describe('clustering by hand', () => {
  it('has the errors in print of rats in litters, and the ratio within a litter', async () => {
    const { errors, frailty } = await chapterOfRows(litters, 'clustering', { reference: 'all_poly_pegged', cluster: 'none' });
    const errorOf = (unit: ClusteredRatios['unit']) => {
      const { value, upper } = ok(ok(of(errors, unit).ratios)[0]!.estimate);
      return [Math.log(value), Math.log(upper / value) / 1.959963984540054];
    };
    expect(errorOf('none')).toEqual([expect.closeTo(0.9047, 4), expect.closeTo(0.3175, 4)]);
    expect(errorOf('hospital')).toEqual([expect.closeTo(0.9047, 4), expect.closeTo(0.3025, 4)]);
    expect(of(errors, 'hospital').clusters).toBe(50);
    // tests/reference/sharedFrailty.R
    expect(ok(frailty).variance.value).toBeCloseTo(rats.found.theta, 4);
    expect(Math.log(ok(ok(frailty).ratios[0]!.estimate).value)).toBeCloseTo(rats.found.coefficient[0]!, 4);
  });

  const joints: readonly FollowupRow[] = Array.from({ length: 120 }, (_, i) => ({
    ...(i % 3 === 0 ? keeled : pegged), ...(i % 7 === 0 ? revised(100 + i) : followed(500 + i)), patient: Math.floor(i / 2), hospital: `H${i % 4}`, surgeon: `S${i % 40}`,
  }));

  it('counts a patient with two joints once, and flags few clusters', async () => {
    const { errors } = await chapterOfRows(joints, 'clustering', {});
    expect(errors.map(({ unit, clusters, few }) => [unit, clusters, few])).toEqual([
      ['none', 0, false], ['patient', 60, false], ['hospital', 4, true], ['surgeon', 40, false],
    ]);
  });

  it('has nothing to say of hospitals where there is one only', async () => {
    const { errors, frailty } = await chapterOfRows(joints.map((row) => ({ ...row, hospital: 'H1' })), 'clustering', {});
    expect(of(errors, 'hospital').ratios).toEqual({ status: 'notEstimable', reason: 'all procedures belong to one cluster' });
    expect(frailty).toMatchObject({ status: 'notEstimable' });
    expect(ok(of(errors, 'patient').ratios)).toHaveLength(1);
  });

  it('does not ask for hospitals of their own twice', async () => {
    const { frailty } = await chapterOfRows(joints, 'clustering', { strata: ['hospital'] });
    expect(frailty).toEqual({ status: 'notEstimable', reason: 'the question gives every hospital a baseline hazard of its own already' });
  });

  it('of one group has no ratio under any of them', async () => {
    const { errors, frailty } = await chapterOfRows(joints, 'clustering', { groups: ['all_poly_keeled'] });
    for (const result of [...errors.map((e) => e.ratios), frailty]) expect(result).toEqual({ status: 'notEstimable', reason: 'there is only one group' });
  });
});
