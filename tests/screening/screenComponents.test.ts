import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { HazardRatio } from '@/lib/analysis/result';
import { ScreeningQuestion } from '@/lib/contract/screeningQuestion';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { adjustedComparison } from '@/lib/screening/components/adjustedComparison';
import { settingsOf } from '@/lib/screening/components/componentQuestion';
import { screenComponents, screenRates } from '@/lib/screening/components/screenComponents';
import type { ComponentsAnalysis, FittedRatio, ScreenedModel } from '@/lib/screening/components/screeningResult';
import { usualScreening } from '@/lib/screening/components/screeningSettings';
import type { NotEstimable } from '@/lib/stats/cells';
import { followupDatabase, type FollowupRow } from '../cohort/followup';
import { loadSample } from '../analysis/sampleExtract';
import { followed, revised, source, times } from '../analysis/chapters/ask';
import { expectClose } from '../reference/closeTo';
import { fixture } from '../stats/rows';

type RateColumn = 'procedures' | 'atRisk' | 'observed' | 'exposure' | 'years' | 'expected' | 'ratio' | 'lower' | 'upper' | 'midP' | 'adjusted' | 'shrunkenLower';
interface RecordedRates {
  readonly name: string; readonly input: { readonly version: string; readonly question: object };
  readonly expected: Record<RateColumn, (number | null)[]> & { readonly role: string[]; readonly model: string[]; readonly flagged: boolean[] };
}
type Limits = readonly number[][];
interface RecordedModel {
  readonly name: string; readonly input: { readonly role: string; readonly model: string; readonly comparator: string };
  readonly expected: {
    readonly procedures: number; readonly events: number; readonly hospitals: number; readonly unadjusted: Limits; readonly adjusted: Limits;
    readonly zph: { readonly chisq: number; readonly p: number }; readonly withinHospitals: Limits; readonly withoutLargestUser: Limits; readonly periods: Limits;
    readonly repeatPeriods: { readonly withinHospitals?: Limits; readonly withoutLargestUser?: Limits };
  };
}
const { cases } = fixture('sampleScreening') as { readonly cases: { readonly rates: readonly RecordedRates[]; readonly models: readonly RecordedModel[] } };

async function screened(extract: LoadedExtract, asked: object): Promise<ComponentsAnalysis> {
  const result = await screenComponents(extract, ScreeningQuestion.parse(asked));
  if (result.status === 'empty') throw new Error(result.reason);
  return result;
}
const flaggedOf = ({ models }: ComponentsAnalysis) => models.filter(({ status }) => status === 'flagged').map(({ model }) => model);
const notMet = ({ criteria }: ScreenedModel) => criteria.filter(({ status }) => status === 'notMet').map(({ name }) => name);

const quietly = () => Promise.resolve();
let sample: LoadedExtract;
beforeAll(async () => {
  sample = await loadSample();
});
afterAll(() => sample.database.close());

describe('every model against all others of its kind, as by R from the CSV files of the sample', () => {
  // tests/reference/sampleScreening.R: R 4.2.2, survival 3.5-3, MASS 7.3-58.2.
  it.each(cases.rates)('$name', async ({ input, expected }) => {
    expect(sample.source.version).toBe(input.version);
    const { models, assessed } = await screenRates(sample, ScreeningQuestion.parse(input.question), quietly);
    const inOrder = expected.model.map((code) => models.find(({ model }) => model === code)!);
    expect(models.length).toBe(expected.model.length);
    expect(assessed).toBe(expected.midP.filter((p) => p !== null).length);
    const column = (of: (model: ScreenedModel) => number | null, recorded: RateColumn, relative = 1e-8) => { expectClose(inOrder.map(of), expected[recorded], relative); };
    column((m) => m.procedures, 'procedures', 0);
    column((m) => m.atRisk, 'atRisk', 0);
    column((m) => m.observed, 'observed', 0);
    column((m) => m.exposure, 'exposure');
    column((m) => m.componentYears, 'years');
    column((m) => m.expected, 'expected');
    column((m) => (m.ratio.status === 'ok' ? m.ratio.ratio : NaN), 'ratio');
    column((m) => (m.ratio.status === 'ok' ? m.ratio.lower : NaN), 'lower');
    column((m) => (m.ratio.status === 'ok' ? m.ratio.upper : NaN), 'upper');
    column((m) => m.p?.midP ?? null, 'midP');
    column((m) => m.p?.adjusted ?? null, 'adjusted');
    column((m) => (m.shrunken.status === 'ok' ? m.shrunken.lower : NaN), 'shrunkenLower');
    expect(inOrder.map(({ status }) => status === 'flagged')).toEqual(expected.flagged);
  });

  const limits = ({ estimate }: HazardRatio) => ('value' in estimate ? [estimate.value, estimate.lower, estimate.upper] : []);
  const overall = (fitted: FittedRatio | NotEstimable) => (fitted.status === 'ok' ? limits(fitted.ratio) : []);
  const byPeriod = (fitted: FittedRatio | NotEstimable) => (fitted.status === 'ok' && fitted.periods !== null && !('status' in fitted.periods) ? fitted.periods.flatMap(({ ratios }) => limits(ratios[0]!)) : []);
  it.each(cases.models)('adjusted, within hospitals and without the largest users: $name', async ({ input: { role, model, comparator }, expected }) => {
    const question = ScreeningQuestion.parse({ roles: [role], comparator }), { models } = await screenRates(sample, question, quietly);
    const found = await adjustedComparison(sample, question, models.find((m) => m.model === model)!, quietly);
    expect(found.model).toMatchObject({ procedures: expected.procedures, events: expected.events, clusters: expected.hospitals });
    expectClose('status' in found.unadjusted ? [] : limits(found.unadjusted), expected.unadjusted.flat());
    expectClose(overall(found.adjusted), expected.adjusted.flat());
    expectClose('chisq' in found.proportionality ? [found.proportionality.chisq, found.proportionality.p] : [], [expected.zph.chisq, expected.zph.p]);
    expect(found.byPeriod).toBe(expected.zph.p < 0.05);
    expectClose(overall(found.repeats.withinHospitals), expected.withinHospitals.flat());
    expectClose(overall(found.repeats.withoutLargestUser), expected.withoutLargestUser.flat());
    expectClose(byPeriod(found.adjusted), found.byPeriod ? expected.periods.flat() : []);
    expectClose(byPeriod(found.repeats.withinHospitals), expected.repeatPeriods.withinHospitals?.flat() ?? []);
    expectClose(byPeriod(found.repeats.withoutLargestUser), expected.repeatPeriods.withoutLargestUser?.flat() ?? []);
    expect(found.standing).toBe('upheld');
  });
});

describe('the committee screens the sample registry', () => {
  it('flags the two planted models and no other of 82, and both stand adjusted, within hospitals and without their largest users', async () => {
    const { models, assessed, adjusted, settings } = await screened(sample, {});
    expect(flaggedOf({ models } as ComponentsAnalysis)).toEqual(['G-FLU-02', 'H-SHO-02']);
    expect(assessed).toBe(82);
    expect(adjusted.map(({ place, comparison }) => [models[place]!.model, comparison.standing])).toEqual([['G-FLU-02', 'upheld'], ['H-SHO-02', 'upheld']]);
    expect(settings).toEqual(usualScreening);
    expect(settings).toEqual(settingsOf(ScreeningQuestion.parse({})));
  });

  it('carries earlier signals forward, whatever they do now, and says which are in use no more', async () => {
    const { models, adjusted, gone, notes } = await screened(sample, { look: 3, earlier: [{ model: 'G-BAS-03', look: 1 }, { model: 'G-BAS-03', look: 2 }, { model: 'G-OLD-01', look: 1 }] });
    expect(models.find(({ model }) => model === 'G-BAS-03')).toMatchObject({ status: 'passed', flaggedAtLooks: [1, 2] });
    expect(adjusted.map(({ place }) => models[place]!.model)).toEqual(['G-BAS-03', 'G-FLU-02', 'H-SHO-02'].sort((a, b) => models.findIndex((m) => m.model === a) - models.findIndex((m) => m.model === b)));
    expect(gone).toEqual([{ model: 'G-OLD-01', look: 1 }]);
    expect(notes.join(' ')).toMatch(/look 3.*within a look/);
  });

  it('within classes of procedure a stem is screened in each', async () => {
    const { models, adjusted } = await screened(sample, { comparator: 'roleAndClass', roles: ['humeral_stem'] });
    const stem = models.filter(({ model }) => model === 'H-SHO-02');
    expect(stem.map((m) => [m.class, m.status])).toEqual([['anatomic_total', 'flagged'], ['hemi', 'notAssessed'], ['reverse_total', 'flagged']]);
    const question = adjusted.find(({ place }) => models[place] === stem[0])!.comparison.question;
    expect(question).toMatchObject({ cohort: { classes: ['anatomic_total'], designs: [] }, compare: 'model', groups: ['H-SHO-02'], withOthers: true, cluster: 'hospital' });
  });

  it('asks the database what the values of a changed filter mean, and nothing else', async () => {
    const asked: string[] = [], { database } = sample;
    const watched: LoadedExtract = { ...sample, database: { ...database, query: (query) => { asked.push(query.sql); return database.query(query); } } };
    await screened(watched, { cohort: { firstYear: 2003 } });
    asked.length = 0;
    await screened(watched, { cohort: { firstYear: 2004 } });
    expect(asked).toEqual([expect.stringContaining('temp."values of year"')]);
  });

  it('has nothing to screen where nobody has such a component', async () => {
    expect(await screenComponents(sample, ScreeningQuestion.parse({ cohort: { lastYear: 1990 } }))).toMatchObject({ status: 'empty' });
  });
});

describe('small registries by hand', () => {
  const of = (model: string, row: FollowupRow = {}): FollowupRow => ({ glenoid_model: model, ...row });
  async function screenedRows(rows: readonly FollowupRow[], asked: object): Promise<ComponentsAnalysis> {
    const database = await followupDatabase(rows);
    try {
      return await screened({ database, source }, { roles: ['glenoid'], ...asked });
    } finally {
      await database.close();
    }
  }
  const usual = [...times(300, of('A', followed(3000))), ...times(10, of('A', revised(900))), ...times(290, of('B', followed(3000))), ...times(10, of('B', revised(800)))];
  const twoHospitals = (model: string, bad: string, n: number) => [
    ...times(n, of(model, { ...revised(700), hospital: bad })), ...times(60, of(model, { ...followed(3000), hospital: bad })), ...times(60, of(model, { ...followed(3000), hospital: 'H2' })), ...times(2, of(model, { ...revised(600), hospital: 'H2' })),
  ];

  it('a model of which nearly all revisions are one hospital’s is flagged, and does not stand apart from it', async () => {
    const elsewhere = [...times(200, of('A', { ...followed(3000), hospital: 'H2' })), ...times(6, of('A', { ...revised(500), hospital: 'H2' }))];
    const { models, adjusted } = await screenedRows([...usual, ...elsewhere, ...twoHospitals('X', 'H9', 25)], { adjust: [] });
    expect(models.find(({ model }) => model === 'X')!.status).toBe('flagged');
    const { comparison } = adjusted.find(({ place }) => models[place]!.model === 'X')!;
    expect(comparison.standing).toBe('hospitals');
    expect(comparison.criteria.find(({ name }) => name === 'adjusted')!.status).toBe('met');
    expect(comparison.criteria.find(({ name }) => name === 'withoutLargestUser')!.status).not.toBe('met');
  });

  it('a model used in a class of procedure that is revised more often is flagged, and no more once adjusted', async () => {
    const easy = [0, 1].flatMap((k) => [...times(400, of(`E${k}`, followed(3000))), ...times(8, of(`E${k}`, revised(700)))]);
    const hard = (model: string, n: number): FollowupRow[] => [...times(10 * n, of(model, { ...followed(3000), indication: 'tumour' })), ...times(2 * n, of(model, { ...revised(700), indication: 'tumour' }))];
    const { models, adjusted } = await screenedRows([...easy, ...hard('E0', 10), ...hard('X', 10)], { adjust: ['indication'] });
    expect(models.find(({ model }) => model === 'X')!.status).toBe('flagged');
    expect(adjusted.find(({ place }) => models[place]!.model === 'X')!.comparison).toMatchObject({ standing: 'notUpheld' });
  });

  it('the only model of its design is not assessed, and is when the whole role is its comparator', async () => {
    const rows = [...usual, ...times(200, of('K', { ...followed(3000), glenoid_design: 'all_poly_keeled' })), ...times(30, of('K', { ...revised(700), glenoid_design: 'all_poly_keeled' }))];
    const alone = await screenedRows(rows, {}), wider = await screenedRows(rows, { comparator: 'role' });
    expect(alone.models.find(({ model }) => model === 'K')).toMatchObject({ status: 'notAssessed', observed: 30, othersProcedures: 0, detectable: { status: 'notEstimable' } });
    expect(notMet(alone.models.find(({ model }) => model === 'K')!)).toContain('others');
    expect(alone.notes.join(' ')).toContain('not assessed: K.');
    expect(flaggedOf(wider)).toEqual(['K']);
  });

  it('leaving a bad model out of the comparators, and taking it in again, changes what the others are held against', async () => {
    const bad = [...times(200, of('X', followed(3000))), ...times(60, of('X', revised(700)))], odd = [...times(200, of('Y', followed(3000))), ...times(16, of('Y', revised(700)))];
    const ratioOf = ({ models }: ComponentsAnalysis, code: string) => { const { ratio } = models.find(({ model }) => model === code)!; return ratio.status === 'ok' ? ratio.ratio : NaN; };
    const all = await screenedRows([...usual, ...bad, ...odd], {}), without = await screenedRows([...usual, ...bad, ...odd], { exceptModels: ['X'] });
    expect(flaggedOf(all)).toEqual(['X']);
    expect(ratioOf(all, 'Y')).toBeLessThan(1);
    expect(ratioOf(without, 'Y')).toBeGreaterThan(1.5);
    expect(flaggedOf(without)).toContain('X');
    expect(without.models.find(({ model }) => model === 'X')!.inComparator).toBe(false);
  });

  it('nobody revised: nothing to expect, nothing flagged, nothing hidden', async () => {
    const { models, assessed } = await screenedRows([...times(100, of('A', followed(3000))), ...times(100, of('B', followed(3000)))], {});
    expect(models.map(({ model, status, observed }) => [model, status, observed])).toEqual([['A', 'notAssessed', 0], ['B', 'notAssessed', 0]]);
    expect(assessed).toBe(0);
  });
});
