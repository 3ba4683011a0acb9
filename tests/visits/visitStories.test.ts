import { describe, expect, it } from 'vitest';
import type { Estimate } from '@/lib/analysis/result';
import { VisitsQuestion } from '@/lib/contract/visitsQuestion';
import { loadExtract } from '@/lib/engine/loadExtract';
import type { NotEstimable } from '@/lib/stats/cells';
import { analyseVisits } from '@/lib/visits/analyseVisits';
import type { NoVisits, VisitsAnalysis } from '@/lib/visits/visitsResult';
import { engines } from '../engine/engines';
import { smallExtract } from '../engine/smallExtract';

type Row = Readonly<Record<string, string | number | null>>;
interface Shoulder { readonly id: string; readonly model: string; readonly patient?: string; readonly side?: string; readonly revised?: string; readonly procedure?: Row; readonly visits?: readonly Row[] }

const models = { P: 'all_poly_pegged', K: 'all_poly_keeled' } as const;

/** Shoulders operated on 2010-01-01 and followed to the end of 2020. */
async function answered(shoulders: readonly Shoulder[], asked: object = {}, open = engines[0].open): Promise<VisitsAnalysis | NoVisits> {
  const loaded = await loadExtract(open, smallExtract({
    models: Object.entries(models).map(([model_code, design_class]) => ({ model_code, role: 'glenoid', design_class })),
    procedures: shoulders.map(({ id, patient = `of ${id}`, side = 'left', procedure = {} }) => ({ procedure_id: id, patient_id: patient, side, ...procedure })),
    components: shoulders.map(({ id, model }) => ({ procedure_id: id, model_code: model, design_class: models[model as keyof typeof models] })),
    revisions: shoulders.flatMap(({ id, patient = `of ${id}`, side = 'left', revised }) => (revised === undefined ? [] : [{ revision_id: `r${id}`, procedure_id: id, patient_id: patient, side, revision_date: revised }])),
    followups: shoulders.flatMap(({ id, visits = [] }) => visits.map((visit) => ({ procedure_id: id, ...visit }))),
  }));
  if (loaded.status === 'refused') throw new Error(loaded.problems[0]!.message);
  expect(loaded.report.rules).toEqual([]);
  try {
    return await analyseVisits(loaded.extract, VisitsQuestion.parse({ groups: ['all_poly_pegged', 'all_poly_keeled'], reference: 'all_poly_pegged', ...asked }));
  } finally {
    await loaded.extract.database.close();
  }
}
async function found(shoulders: readonly Shoulder[], asked: object = {}, open = engines[0].open): Promise<VisitsAnalysis> {
  const answer = await answered(shoulders, asked, open);
  if (answer.status !== 'ok') throw new Error(answer.reason);
  return answer;
}
const many = (n: number, prefix: string, of: Omit<Shoulder, 'id'>): Shoulder[] => Array.from({ length: n }, (_, i) => ({ id: `${prefix}${i}`, ...of }));
const value = (e: Estimate | NotEstimable): number | string => ('status' in e ? e.reason : e.value);
const seen = (visit: string, visit_date: string, more: Row = {}): Row => ({ visit, visit_date, ...more });

describe.each(engines)('who came, $engine', ({ open }) => {
  it('a missed visit, one that was never recorded, one not assessed and one not due are four things', async () => {
    const { visits, signs, groups } = await found([
      { id: 'clear', model: 'P', visits: [seen('1y', '2011-01-05', { glenoid_radiolucency: '0' })] },
      { id: 'line', model: 'P', visits: [seen('1y', '2011-01-05', { glenoid_radiolucency: '2' })] },
      { id: 'unread', model: 'P', visits: [seen('1y', '2011-01-05', { pain: 2 })] },
      { id: 'missed', model: 'P', visits: [{ visit: '1y' }] },
      { id: 'unrecorded', model: 'P', visits: [seen('3m', '2010-04-01', { pain: 4 })] },
      { id: 'revised early', model: 'P', revised: '2010-06-01', visits: [seen('3m', '2010-04-01', { pain: 9 })] },
      { id: 'never asked', model: 'P' },
      { id: 'other', model: 'K', visits: [seen('1y', '2011-01-05', { glenoid_radiolucency: '1' })] },
    ], {}, open);
    expect(groups[0]).toMatchObject({ procedures: 6, withoutVisits: 1 });
    expect(visits.find((v) => v.group === 'all_poly_pegged' && v.window === '1y')).toMatchObject({ due: 5, seen: 3, missed: 1, notRecorded: 1, notDue: 1 });
    const at = signs.find(({ measure, window }) => measure === 'glenoid_radiolucency' && window === '1y')!.groups[0]!;
    expect(at).toMatchObject({ due: 5, seen: 3, assessed: 2, present: 1, ifLost: { none: 20, all: 80 } });
    expect(value(at.percent)).toBe(50);
  }, 60_000);
});

describe('what is seen', () => {
  it('counts a sign in any zone, and each zone by itself', async () => {
    const { signs, zones } = await found([
      { id: 'a', model: 'P', visits: [seen('2y', '2012-01-05', { thinning_tip: '0', thinning_medial_upper: '2' })] },
      { id: 'b', model: 'P', visits: [seen('2y', '2012-01-05', { thinning_tip: '0' })] },
      { id: 'c', model: 'K', visits: [seen('2y', '2012-01-05')] },
    ]);
    const thinning = signs.find(({ measure }) => measure === 'thinning')!;
    expect(thinning.groups.map(({ assessed, present }) => [assessed, present])).toEqual([[2, 1], [0, 0]]);
    expect(value(thinning.differences[0]!.points)).toBe('nobody was assessed in one of the groups');
    const map = zones.find(({ sign }) => sign === 'thinning')!.zones;
    expect(map.filter(({ groups }) => groups[0]!.assessed > 0).map(({ zone, groups }) => [zone, groups[0]!.assessed, groups[0]!.present])).toEqual([['tip', 2, 0], ['medial_upper', 1, 1]]);
  });

  it('takes change from the visit before the procedure, and an important difference only where its source is told', async () => {
    const shoulder = (id: string, model: string, before: number | null, after: number): Shoulder =>
      ({ id, model, visits: [...(before === null ? [] : [seen('before', '2009-12-01', { score_total: before, score_instrument: 'X' })]), seen('1y', '2011-01-05', { score_total: after, score_instrument: 'X' })] });
    const shoulders = [
      shoulder('a', 'P', 30, 70), shoulder('b', 'P', 40, 60), shoulder('c', 'P', 35, 40), shoulder('d', 'P', null, 90),
      shoulder('e', 'K', 30, 65), shoulder('f', 'K', 45, 50), shoulder('g', 'K', 20, 60),
    ];
    const plain = (await found(shoulders)).amounts.find(({ measure, window }) => measure === 'score_total' && window === '1y')!;
    expect(plain.groups.map(({ assessed, change }) => [assessed, change!.both])).toEqual([[4, 3], [3, 3]]);
    expect(value(plain.groups[0]!.change!.mean)).toBeCloseTo((40 + 20 + 5) / 3, 12);
    expect([plain.groups[0]!.important, plain.differences[0]!.importantPoints]).toEqual([null, null]);
    const importantDifference = { value: 20, instrument: 'X', anchor: 'an anchor', population: 'a population', source: 'a source' };
    const told = (await found(shoulders, { importantDifference, instrument: 'X' })).amounts.find(({ measure, window }) => measure === 'score_total' && window === '1y')!;
    expect(told.groups.map(({ important }) => important!.count)).toEqual([2, 2]);
    const none = await found(shoulders, { instrument: 'another' });
    expect(none.recorded).not.toContain('score_total');
    const two = [...shoulders, { id: 'h', model: 'P', visits: [seen('before', '2009-12-01', { score_total: 30, score_instrument: 'X' }), seen('1y', '2011-01-05', { score_total: 90, score_instrument: 'Y' })] }];
    const mixed = await found(two), named = await found(two, { instrument: 'X', measures: ['score_total'] });
    expect(mixed.amounts.map(({ measure }) => measure)).not.toContain('score_total'); // a change from one instrument to another is none
    expect(mixed.notes).toContain('Score totals are of 2 instruments (or not said of which) and cannot be compared: none is shown until the question names one.');
    expect(named.amounts.find(({ window }) => window === '1y')!.groups.map(({ assessed, change }) => [assessed, change!.both])).toEqual([[4, 3], [3, 3]]);
    expect(named.notes).toEqual([]);
  });

  it('less pain is better', async () => {
    const shoulder = (id: string, model: string, after: number): Shoulder => ({ id, model, visits: [seen('before', '2009-12-01', { pain: 8 }), seen('1y', '2011-01-05', { pain: after })] });
    const importantDifference = { measure: 'pain', value: 2, instrument: 'pain 0–10', anchor: 'an anchor', population: 'a population', source: 'a source' };
    const { amounts } = await found([shoulder('a', 'P', 1), shoulder('b', 'P', 7), shoulder('c', 'K', 8), shoulder('d', 'K', 10)], { importantDifference });
    expect(amounts.find(({ measure, window }) => measure === 'pain' && window === '1y')!.groups.map(({ important, atMost }) => [important!.count, atMost])).toEqual([[1, 0], [0, 1]]);
  });

  it('both shoulders of a patient do not count as two patients', async () => {
    const pair = (i: number, grade: string): Shoulder[] => ['left', 'right'].map((side) => ({ id: `${i}${side}`, model: 'P', patient: `p${i}`, side, visits: [seen('1y', '2011-01-05', { glenoid_radiolucency: grade })] }));
    const { signs, groups } = await found([...Array.from({ length: 20 }, (_, i) => pair(i, i < 5 ? '1' : '0')).flat(), ...many(3, 'k', { model: 'K', visits: [seen('1y', '2011-01-05', { glenoid_radiolucency: '0' })] })]);
    expect(groups[0]).toMatchObject({ procedures: 40, patients: 20, bothSides: 20 });
    const { percent, allowingForBothSides } = signs.find(({ measure }) => measure === 'glenoid_radiolucency')!.groups[0]!;
    const width = (e: Estimate | NotEstimable): number => ('status' in e ? NaN : e.upper - e.lower);
    expect(value(allowingForBothSides)).toBe(25);
    expect(width(allowingForBothSides)).toBeGreaterThan(1.3 * width(percent)); // as 20 patients, not 40
  });

  it('does not count a visit after the implant was revised', async () => {
    const { signs, notes } = await found([
      { id: 'a', model: 'P', revised: '2012-06-01', visits: [seen('1y', '2011-01-05', { glenoid_radiolucency: '0' }), seen('5y', '2015-01-05', { glenoid_radiolucency: '4' })] },
      { id: 'b', model: 'K', visits: [seen('1y', '2011-01-05', { glenoid_radiolucency: '0' })] },
    ]);
    expect(signs.map(({ window }) => window)).toEqual(['1y']);
    expect(notes).toContain('1 visits are later than the end of the implant’s follow-up and are not counted.');
  });
});

describe('signs and later revision', () => {
  // The sign does nothing: those who are revised early never reach the visit that could show it.
  const early = many(40, 'early', { model: 'P', revised: '2011-06-01', visits: [seen('1y', '2011-01-05', { glenoid_radiolucency: '0' })] });
  const late = (n: number, prefix: string, grade: string): Shoulder[] =>
    many(n, prefix, { model: 'P', visits: [seen('1y', '2011-01-05', { glenoid_radiolucency: '0' }), seen('5y', '2015-01-05', { glenoid_radiolucency: grade })] });
  const lateRevised = (n: number, prefix: string, grade: string): Shoulder[] => late(n, prefix, grade).map((s, i) => ({ ...s, revised: `2017-0${1 + (i % 9)}-11` }));
  const shoulders = [...early, ...late(90, 'clear', '0'), ...late(45, 'line', '1'), ...lateRevised(20, 'clear then revised', '0'), ...lateRevised(10, 'line then revised', '1')];

  it('do not give the sign credit for having lived to be seen (immortal time)', async () => {
    const { earlyWarnings, groups } = await found(shoulders, { landmarkYears: [1, 1.1] });
    expect(groups.map(({ key }) => key)).toEqual(['all_poly_pegged']);
    const { changing, landmarks } = earlyWarnings.find(({ measure }) => measure === 'glenoid_radiolucency')!;
    // ever against never: 10 of 55 against 60 of 150 are revised, a ratio well below 1
    expect(10 / 55 / (60 / 150)).toBeLessThan(0.5);
    expect(changing.procedures).toEqual([150, 55]);
    expect(changing.events).toEqual([60, 10]);
    expect(value(changing.estimate)).toBeCloseTo(1, 1);
    const [one, later] = landmarks;
    expect(one).toMatchObject({ atRisk: 205, notAssessed: 205, estimate: { reason: 'nobody assessed by 1 year was followed longer' } }); // they came four days after
    expect(one!.notes[0]).toMatch(/came later than the landmark/);
    expect(later!.procedures).toEqual([205, 0]); // nobody had shown it
    expect(value(later!.estimate)).toMatch(/same value of the sign/);
  });

  it('are held against those followed to the landmark and assessed by then', async () => {
    const { earlyWarnings } = await found(shoulders, { landmarkYears: [6] });
    const [six] = earlyWarnings.find(({ measure }) => measure === 'glenoid_radiolucency')!.landmarks;
    expect(six).toMatchObject({ atRisk: 165, notAssessed: 0, procedures: [110, 55], events: [20, 10] });
    expect(value(six!.estimate)).toBeCloseTo(1, 1);
  });

  it('say so where limits cannot allow for hospitals, as all procedures are of one', async () => {
    const { earlyWarnings } = await found(shoulders, { landmarkYears: [6], cluster: 'hospital' }), { landmarks: [six], changing } = earlyWarnings.find(({ measure }) => measure === 'glenoid_radiolucency')!;
    for (const { estimate, notes } of [six!, changing]) {
      expect(value(estimate)).toBeCloseTo(1, 1);
      expect(notes).toContain('Limits do not allow for hospitals: all procedures belong to one cluster.');
    }
  });
});

describe('where there is nothing to say', () => {
  it('no visit of any of the cohort', async () => {
    expect(await answered([{ id: 'a', model: 'P' }, { id: 'b', model: 'K' }])).toMatchObject({ status: 'empty', reason: 'The extract has no follow-up visit of any procedure of the cohort.' });
  });
  it('nobody meets the conditions', async () => {
    expect(await answered([{ id: 'a', model: 'P', visits: [{ visit: '1y' }] }], { cohort: { sexes: ['male'] } })).toMatchObject({ status: 'empty', reason: 'No procedure of the extract meets these conditions.' });
  });
  it('one group: what is seen is told, and nothing is compared', async () => {
    const { signs, repeated, amounts } = await found(many(5, 'a', { model: 'P', visits: [seen('1y', '2011-01-05', { glenoid_radiolucency: '1', pain: 3 }), seen('2y', '2012-01-05', { pain: 1 })] }));
    expect(signs[0]!.differences).toEqual([]);
    expect([amounts[0]!.differences, repeated]).toEqual([[], []]);
  });
  it('a measure that was asked for and is not there is said', async () => {
    const { notes, signs } = await found([{ id: 'a', model: 'P', visits: [seen('1y', '2011-01-05', { pain: 3 })] }, { id: 'b', model: 'K', visits: [seen('1y', '2011-01-05')] }], { measures: ['tendon'] });
    expect(notes).toContain('Subscapularis repair on ultrasound is not recorded in any visit of the cohort.');
    expect(signs).toEqual([]);
  });
});

it('every share lies within its limits and its bounds, and a page of numbers holds no key of a procedure', async () => {
  const grades = ['0', '1', '2', '3', '4'];
  const shoulders = Array.from({ length: 60 }, (_, i): Shoulder => ({
    id: `SECRET${i}`, model: i % 3 === 0 ? 'K' : 'P',
    visits: [seen('1y', '2011-01-05', { glenoid_radiolucency: grades[i % 5]!, pain: i % 7 }), i % 4 === 0 ? { visit: '2y' } : seen('2y', '2012-01-05', { glenoid_radiolucency: grades[(i * 3) % 5]!, pain: i % 5, belly_press: i % 6 === 0 ? 'weak' : 'normal' })],
  }));
  const answer = await found(shoulders);
  for (const { groups, differences } of answer.signs) {
    for (const { percent, ifLost } of groups) {
      if ('status' in percent) continue;
      expect(percent.lower <= percent.value && percent.value <= percent.upper && ifLost!.none <= ifLost!.all).toBe(true);
    }
    for (const { points, ifLost } of differences) if (!('status' in points)) expect(ifLost!.least - 1e-9 <= points.value && points.value <= ifLost!.most + 1e-9).toBe(true);
  }
  expect(JSON.stringify(answer)).not.toContain('SECRET');
});
