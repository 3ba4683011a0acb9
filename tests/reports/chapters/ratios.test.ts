import { describe, expect, it } from 'vitest';
import type { Clustering } from '@/lib/analysis/chapters/clusteringResult';
import type { MissingData } from '@/lib/analysis/chapters/missingDataResult';
import type { Precision } from '@/lib/analysis/chapters/precisionResult';
import type { RatioOverTime } from '@/lib/analysis/chapters/ratioOverTimeResult';
import type { Sensitivity, SensitivityGroup, SensitivityLine } from '@/lib/analysis/chapters/sensitivityResult';
import type { Subgroups } from '@/lib/analysis/chapters/subgroupsResult';
import { View } from '@/lib/contract/view';
import { clusteringContent } from '@/lib/reports/chapters/clustering';
import { lineParts, type ForestLine } from '@/lib/reports/chapters/linesForest';
import { missingDataContent } from '@/lib/reports/chapters/missingData';
import { precisionContent } from '@/lib/reports/chapters/precision';
import { ratioOverTimeContent } from '@/lib/reports/chapters/ratioOverTime';
import { sensitivityContent } from '@/lib/reports/chapters/sensitivity';
import { eValueWords, linesWords } from '@/lib/reports/chapters/sensitivityWords';
import { subgroupsContent } from '@/lib/reports/chapters/subgroups';
import type { Block } from '@/lib/reports/blocks';
import { estimate, pegged, pegsAndKeels, ratio } from '../pegsAndKeels';

const analysis = pegsAndKeels(), view = View.parse({});
const basis = { status: 'ok', procedures: 11_113, events: 422, methods: [], notes: [], reference: 'all_poly_pegged' } as const;
const said = (blocks: readonly Block[]) => blocks.flatMap((block) => (block.kind === 'words' ? block.sentences.map(({ text }) => text) : block.kind === 'caution' ? [`! ${block.text}`] : [])).join(' ');
const forestOf = (blocks: readonly Block[]) => { const found = blocks.find((block) => block.kind === 'forest'); if (found?.kind !== 'forest') throw new Error('no forest'); return found.figure; };
const of = (value: number, lower: number, upper: number, part: object = {}) => ratio({ estimate: estimate(value, lower, upper), ...part });

describe('the alternatives', () => {
  const line = (key: string, family: SensitivityLine['family'], label: string, value: number, fewerEvents = 20): SensitivityLine => ({
    key, family, label, why: 'Tries something.',
    result: { status: 'ok', measure: 'hazard', procedures: 9000, events: 300, fewer: { procedures: 500, events: fewerEvents }, adjustedFor: [], leftOut: [], notes: [], ratios: [of(value, value / 1.3, value * 1.3)], shifts: [value / 1.5] },
  });
  const asked = line('asked', 'asked', 'As asked', 1.5, 0), group: SensitivityGroup = {
    group: 'all_poly_keeled', label: 'All-polyethylene keeled', estimated: 3, smallest: 0.9, largest: 1.6, sameSide: 2, clear: 2, eValue: { status: 'ok', estimate: 2.37, limit: 1.74 },
  };
  const lines = [asked, line('later', 'calendar', 'Procedures after 2016', 1.6), line('fractures', 'patients', 'Fracture sequelae only', 0.9)];
  const sensitivity: Sensitivity = { ...basis, groups: [group], lines: [...lines, { key: 'metalBacked', family: 'implants', label: 'Without metal-backed components', why: '', result: { status: 'notApplicable', reason: 'No component of the cohort is metal-backed.' } }], frequency: 'rare' };

  it('are told together, and those on the other side by name', () => {
    expect(linesWords(group, 0, lines).map(({ text }) => text)).toEqual([
      'Put in 3 ways, the ratio of “All-polyethylene keeled” lies between 0.90 and 1.60: in 2 of them on the same side of 1 as the ratio as asked (1.50), and in 2 with limits that leave out 1.',
      'On the other side: fracture sequelae only (0.90).',
    ]);
  });

  it('a way on three revisions is drawn and not counted in words, where it would say that anything is possible', () => {
    const handful = line('tumours', 'patients', 'Tumour only', 0.2), { result } = handful;
    const drawn = { ...handful, result: { ...result, ratios: [of(0.2, 0.03, 1.4, { events: 3 })] } as SensitivityLine['result'] };
    expect(linesWords(group, 0, [...lines, drawn]).map(({ text, basis: of }) => (of.some((n) => n < 5) ? 'withheld on paper' : text))).toEqual([
      ...linesWords(group, 0, lines).map(({ text }) => text), 'One more way rests on fewer than 5 revisions: too few to count here.',
    ]);
    expect(linesWords(group, 0, [asked, drawn])[0]!.text).toBe('For “All-polyethylene keeled” there is nothing to hold the alternatives against.');
  });

  it.each([
    ['rare', group.eValue, /would have to be 2\.37 times as frequent in one of the groups and raise the risk of revision 2\.37-fold, .*; with 1\.74 in both places its limit would reach 1 \(E-values\)\.$/],
    ['common', group.eValue, /\(E-values, approximately, as revision is common here\)\.$/],
    ['rare', { status: 'ok', estimate: 1.5, limit: 1 }, /^The limits of .* include no difference as it is/],
    ['rare', { status: 'notEstimable', reason: 'no revisions' }, /can’t be said: no revisions\.$/],
  ] as const)('a confounder strong enough, where revision is %s', (frequency, eValue, words) => {
    expect(eValueWords({ ...group, eValue }, { ...sensitivity, frequency }).text).toMatch(words);
  });

  it('make one forest, those that do not apply last and saying why', () => {
    const { parts } = forestOf(sensitivityContent(analysis, sensitivity).blocks);
    expect(parts.map(({ heading }) => heading)).toEqual(['As asked', 'Some years only', 'Some patients only', 'Does not apply here']);
    expect(parts.at(-1)?.rows[0]).toMatchObject({ label: 'Without metal-backed components', detail: 'No component of the cohort is metal-backed.', text: 'does not apply', mark: null });
  });

  it('keep a line inside from which a small count could be had by taking it from the whole', () => {
    const { parts } = forestOf(sensitivityContent(analysis, { ...sensitivity, lines: [asked, line('later', 'calendar', 'Later', 1.6, 3)] }).blocks);
    expect(parts.flatMap(({ rows }) => rows.map(({ key, staysInside }) => [key, staysInside]))).toEqual([['asked:all_poly_keeled', false], ['later:all_poly_keeled', true]]);
  });
});

describe('lines of a forest', () => {
  const line: ForestLine = { key: 'robust', label: 'Robust over hospitals', detail: '60 hospitals', ratios: [of(1.5, 1.2, 1.9)] };
  const heading = { key: 'h', heading: 'Limits', note: null, demoted: false };
  it('with one group to compare have a row each', () => {
    expect(lineParts(analysis, heading, [line], () => 0)).toMatchObject([{ heading: 'Limits', rows: [{ label: 'Robust over hospitals', detail: '60 hospitals', group: 1 }] }]);
  });
  it('with several have a heading each and a row per group', () => {
    const three = pegsAndKeels({ groups: [...analysis.groups, { ...pegged, key: 'metal_backed', label: 'Metal-backed' }] });
    const parts = lineParts(three, heading, [{ ...line, ratios: [of(1.5, 1.2, 1.9), of(7, 6, 9, { level: 'metal_backed', label: 'Metal-backed' })] }], () => 0);
    expect(parts).toMatchObject([{ heading: 'Limits: Robust over hospitals', note: '60 hospitals', rows: [{ label: 'All-polyethylene keeled' }, { label: 'Metal-backed', group: 2 }] }]);
  });
});

it('clustering says whose limits are widest, where clusters are few, and how hospitals differ', () => {
  const errors: Clustering['errors'] = [
    { unit: 'none', label: 'All procedures independent', asked: false, clusters: 0, few: false, ratios: [of(1.48, 1.22, 1.81)] },
    { unit: 'hospital', label: 'Robust over hospitals', asked: true, clusters: 24, few: true, ratios: [of(1.48, 1.1, 2)] },
  ];
  const frailty: Clustering['frailty'] = { status: 'ok', unit: 'hospital', clusters: 24, variance: estimate(0.1, 0.03, 0.21), test: { chisq: 12, p: 0.0002 }, ratios: [of(1.49, 1.2, 1.8)], spread: { smallest: 0.63, largest: 1.55 } };
  const words = said(clusteringContent(analysis, { ...basis, adjustedFor: ['Age'], leftOut: [], errors, frailty }).blocks);
  expect(words).toContain('The widest limits of “All-polyethylene keeled” are those over hospitals: 1.48 (1.10–2.00).');
  expect(words).toContain('With 24 hospitals only, robust limits tend to be too narrow.');
  expect(words).toContain('the 24 hospitals’ own hazards run from 0.63 to 1.55 of their mean (variance 0.10, 0.03–0.21; p < 0.001).');
  expect(said(clusteringContent(analysis, { ...basis, adjustedFor: [], leftOut: [], errors, frailty: { ...frailty, variance: estimate(0, 0, 0.1) } }).blocks)).toContain('The 24 hospitals differ no more than chance makes them.');
});

describe('subgroups', () => {
  const factor = (label: string, p: number, adjustedP: number): Subgroups['factors'][number] => ({
    factor: 'sex', label, procedures: 11_000, events: 400, adjustedFor: [], leftOut: [], notes: [], test: { status: 'ok', chisq: 4, df: 1, p, adjustedP },
    levels: [
      { level: 'female', label: 'Women', procedures: 6000, events: 200, ratios: [of(1.2, 0.9, 1.6, { events: 40, procedures: 900 })] },
      { level: 'male', label: 'Men', procedures: 5000, events: 200, ratios: [of(2.2, 1.6, 2.9, { events: 3, procedures: 800 })] },
      { level: 'other', label: 'Not recorded', procedures: 50, events: 8, ratios: [of(2, 1, 4, { events: 8, procedures: 20 })] },
    ],
  });
  it.each([
    ['none', [factor('Sex', 0.04, 0.12)], '2 tests were made together. None shows the ratio to differ by sex; such tests miss much when revisions are few.'],
    ['one', [factor('Sex', 0.001, 0.002)], '2 tests were made together. The ratio differs by sex (p = 0.002 after allowing for all tests): there one ratio for everybody misleads.'],
  ])('of which %s stands out', (_, factors, words) => { expect(said(subgroupsContent(analysis, { ...basis, factors, tests: 2 }).blocks)).toContain(words); });

  it('keep inside what few people are behind, and what that could be computed from', () => {
    const { parts } = forestOf(subgroupsContent(analysis, { ...basis, factors: [factor('Sex', 0.5, 0.5)], tests: 1 }).blocks);
    expect(parts[0]?.rows.map(({ label, staysInside }) => [label, staysInside])).toEqual([['Women', false], ['Men', true], ['Not recorded', true]]);
  });
});

describe('what could be seen', () => {
  const precision = (part: object): Precision => ({
    ...basis, referencePerYear: 398, power: 0.8, alpha: 0.05,
    groups: [{
      group: 'all_poly_keeled', label: 'All-polyethylene keeled', procedures: 3160, perYear: 158,
      atTimes: [{ years: 10, atRisk: 1320, expected: 121, referenceEvents: 250, detectable: 1.364 }],
      doublingSeenFrom: { status: 'ok', day: 428 }, doublingSeenAfter: { status: 'ok', days: 2738 }, ...part,
    }],
  });
  it.each([
    ['a doubling from a time on, rounded up', {}, /would be seen from 1\.2 years after surgery on\. By 10 years a ratio of 1\.36 or more would be seen\. At their pace so far \(158 and 398 procedures a year\), two designs started today would show a doubling after 7\.5 years\./],
    ['nothing, and why', { doublingSeenFrom: { status: 'notEstimable', reason: 'not with the follow-up so far' } }, /would not be seen\. Not with the follow-up so far\./],
    ['hardly anything', { atTimes: [{ years: 1, atRisk: 20, expected: 0.1, referenceEvents: 30, detectable: 8499 }] }, /By 1 year not even a ratio of 10 would be seen\./],
  ])('%s', (_, part, words) => { expect(said(precisionContent(analysis, precision(part)).blocks)).toMatch(words); });
});

describe('the ratio over time', () => {
  const days = Float64Array.of(30, 365, 3650);
  const over = (part: Partial<RatioOverTime> = {}): RatioOverTime => ({
    ...basis, adjustedFor: ['Age', 'Sex'], leftOut: [], groupsProportional: true, test: { status: 'ok', chisq: 1.6, df: 1, p: 0.2 }, single: [of(1.48, 1.22, 1.8)],
    notes: ['Times of change were found in the same data.'],
    found: { status: 'ok', cuts: [{ day: 1425, chisq: 5.5, df: 1, p: 0.019, candidates: 370, needed: 0.000135, accepted: false }], periods: [{ fromDay: 0, toDay: null, ratios: [of(1.48, 1.22, 1.8)] }], within: [] },
    smooth: [{ group: 'all_poly_keeled', label: 'All-polyethylene keeled', curve: { status: 'ok', days, ratio: Float64Array.of(1.2, 1.3, 1.9), lower: Float64Array.of(0.6, 0.9, 1), upper: Float64Array.of(2.4, 1.9, 90), atRisk: Float64Array.of(3000, 2900, 1400) } }],
    ...part,
  });
  const changing = over({
    groupsProportional: false, test: { status: 'ok', chisq: 30, df: 1, p: 1e-6 },
    found: {
      status: 'ok', cuts: [{ day: 731, chisq: 40, df: 1, p: 1e-9, candidates: 370, needed: 0.000135, accepted: true }], within: [{ status: 'ok', chisq: 0.1, df: 1, p: 0.87 }, { status: 'ok', chisq: 0.1, df: 1, p: 0.18 }],
      periods: [{ fromDay: 0, toDay: 731, ratios: [of(1.1, 0.8, 1.5)] }, { fromDay: 731, toDay: null, ratios: [of(2.1, 1.6, 2.8)] }],
    },
  });

  it('may be read as one number where no change shows, and no time of change was found', () => {
    const { blocks } = ratioOverTimeContent(analysis, over(), view);
    expect(said(blocks)).toContain('There is no sign that the ratio changes with time since surgery (test of proportional hazards: p = 0.20), so that one number may be read.');
    expect(said(blocks)).toContain('None was found. Of the 370 days tried the best is 3.9 years after surgery (p = 0.019), and with so many tried it would have to be below 0.0001.');
    expect(said(blocks)).not.toContain('Exploratory');
    expect(forestOf(blocks).parts.map(({ key, demoted }) => [key, demoted])).toEqual([['single', false]]);
  });

  it('leads where it changes, found times are called exploratory, and the single ratio stands last', () => {
    const { blocks } = ratioOverTimeContent(analysis, changing, view);
    expect(said(blocks)).toMatch(/^The ratio changes with time since surgery .* one number for all time would mislead and stands last\./);
    expect(said(blocks)).toContain('! Exploratory. Times of change were found in the same data.');
    expect(forestOf(blocks).parts.map(({ heading, demoted }) => [heading, demoted])).toEqual([
      ['Exploratory, in the first 2 years', false], ['Exploratory, after 2 years', false], ['Adjusted for age and sex, one ratio for all time', true],
    ]);
  });

  it('is drawn on a logarithmic axis that limits without end do not stretch', () => {
    const figure = ratioOverTimeContent(analysis, over(), view).blocks.find((block) => block.kind === 'overTime')?.figure;
    expect(figure).toMatchObject({ scale: 'log', even: 1, shape: 'smooth', valueTicks: [0.5, 1, 2, 5, 10], groups: [{ label: 'All-polyethylene keeled', position: 1 }] });
  });
});

describe('what is not recorded', () => {
  const missing = (part: Partial<MissingData> = {}): MissingData => ({
    ...basis, adjustedFor: ['Age', 'Body mass index'],
    groups: [{ group: 'all_poly_pegged', label: 'All-polyethylene pegged', procedures: 7953, complete: 5005 }, { group: 'all_poly_keeled', label: 'All-polyethylene keeled', procedures: 3160, complete: 1349 }],
    covariates: [{ covariate: 'age', label: 'Age', missing: [0, 0], percents: [0, 0] }, { covariate: 'bmi', label: 'Body mass index', missing: [2657, 1700], percents: [33.4, 53.8] }],
    completeCase: { status: 'ok', procedures: 6354, events: 205, ratios: [of(1.44, 1.07, 1.95)] },
    imputed: { status: 'ok', procedures: 11_113, events: 422, ratios: [of(1.27, 0.98, 1.5)], imputations: 20, seed: 1, missingInformation: [0.05] },
    comparison: [{ group: 'all_poly_keeled', label: 'All-polyethylene keeled', shift: 0.88, differ: true }], ...part,
  });
  it('is told with both ratios where they differ', () => {
    const words = said(missingDataContent(analysis, missing()).blocks);
    expect(words).toContain('Everything that is adjusted for is recorded for 5,005 of 7,953 in “All-polyethylene pegged” and 1,349 of 3,160 in “All-polyethylene keeled”.');
    expect(words).toContain('the ratio with imputed values is 12.0% lower than that of complete records: the two differ.');
    expect(words).toContain('! The two ways to deal with what is not recorded do not agree: neither ratio is to be quoted without the other.');
  });
  it('is nothing where everything is recorded', () => {
    const complete = missing({ groups: missing().groups.map((group) => ({ ...group, complete: group.procedures })) });
    expect(said(missingDataContent(analysis, complete).blocks)).toBe('Age and body mass index are recorded for every procedure: no procedure is left out of the adjusted ratios, and there is nothing to impute.');
    expect(said(missingDataContent(analysis, { ...complete, adjustedFor: [] }).blocks)).toBe('Nothing is adjusted for, so that nothing can be missing.');
  });
});
