import { describe, expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import type { Analysis, CoxResult, NothingToShow } from '@/lib/analysis/result';
import { Question } from '@/lib/contract/question';
import { roleBit } from '@/lib/engine/followupTable';
import { forestRow } from '@/lib/reports/forest';
import { ratioCells } from '@/lib/reports/tableCells';
import type { NotEstimable } from '@/lib/stats/cells';
import { followupDatabase, type FollowupRow } from '../cohort/followup';

const source = { registry: 'By hand', version: '1', opened: '2004-01-01', closingDate: '2020-12-31', fingerprint: '' };

async function ask(rows: readonly FollowupRow[], asked: object): Promise<Analysis | NothingToShow> {
  const database = await followupDatabase(rows);
  try {
    return await analyse({ database, source }, Question.parse(asked));
  } finally {
    await database.close();
  }
}
async function answered(rows: readonly FollowupRow[], asked: object): Promise<Analysis> {
  const result = await ask(rows, asked);
  if (result.status === 'empty') throw new Error(result.reason);
  return result;
}
function fitted(result: CoxResult | NotEstimable): CoxResult {
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
}

const times = (n: number, row: FollowupRow): readonly FollowupRow[] => Array.from({ length: n }, () => row);
const keeled: FollowupRow = { glenoid_design: 'all_poly_keeled', glenoid_model: 'G-20' };
const revised: FollowupRow = { ending: 'revision', kind: 'major', reason: 'glenoid_loosening', removed: roleBit('glenoid') };

// Forty pegged and twenty keeled components over two years; every fifth keeled and every tenth pegged one is revised.
const twoDesigns: readonly FollowupRow[] = [
  ...Array.from({ length: 40 }, (_, i) => ({ exit_day: 700 - i, ...(i % 10 === 0 && { ...revised, exit_day: 200 + i }) })),
  ...Array.from({ length: 20 }, (_, i) => ({ ...keeled, exit_day: 690 - i, ...(i % 5 === 0 && { ...revised, exit_day: 100 + 2 * i }) })),
].map((row, i) => ({ sex: i % 3 === 0 ? 'male' : 'female', age: 50 + (i * 7) % 40, hospital: `H${i % 4}`, region: i % 2 === 0 ? 'north' : 'south', ...row }));

describe('a group that the registry sees only later', () => {
  it('has no percent before: it is not 0 %', async () => {
    const { atTimes } = await answered([...times(100, { entry_day: 400, exit_day: 900 }), ...times(100, { ...keeled, exit_day: 900 })], { atYears: [1, 2] });
    const late = atTimes.filter((at) => at.group === 'all_poly_pegged');
    expect(late[0]).toMatchObject({ atRisk: 0, estimate: { status: 'notEstimable', reason: 'nobody is under observation yet (n = 0)' } });
    expect(late[1]).toMatchObject({ atRisk: 100, estimate: { value: 0, lower: 0 } });
  });
});

describe('a reference that is never used beside the others', () => {
  // The pegged ones are all at one hospital, the keeled and metal-backed ones at another: stratified by hospital, nothing compares them.
  const apart: readonly FollowupRow[] = [
    ...times(30, { hospital: 'H1', exit_day: 900 }), ...times(3, { hospital: 'H1', ...revised, exit_day: 300 }),
    ...times(20, { hospital: 'H2', ...keeled, exit_day: 900 }), ...times(3, { hospital: 'H2', ...keeled, ...revised, exit_day: 200 }),
    ...times(20, { hospital: 'H2', glenoid_design: 'metal_backed', exit_day: 900 }),
    ...times(5, { hospital: 'H2', glenoid_design: 'metal_backed', ...revised, exit_day: 250 }),
  ];

  it('has no ratio to them within hospitals, where that of two others must not take its place', async () => {
    const { adjusted } = await answered(apart, { strata: ['hospital'] });
    const groups = fitted(adjusted).ratios.filter((ratio) => ratio.term === 'group');
    expect(groups.map((ratio) => ratio.level).sort()).toEqual(['all_poly_keeled', 'metal_backed']);
    for (const ratio of groups) expect(ratio.estimate).toMatchObject({ status: 'notEstimable' });
  });
});

describe('a cohort', () => {
  it('that is empty says so, with the step at which it became so', async () => {
    const result = await ask(twoDesigns, { cohort: { classes: ['reverse_total'] } });
    expect(result).toMatchObject({ status: 'empty', reason: 'No procedure of the extract meets these conditions.' });
    expect(result.attrition.map((step) => step.remaining)).toEqual([60, 60, 60, 0, 0]);
  });

  it('without any of the groups asked for says so', async () => {
    expect(await ask(twoDesigns, { groups: ['metal_backed'] })).toMatchObject({
      status: 'empty',
      reason: 'No procedure of the cohort is in a group to compare. '
        + 'Metal-backed with polyethylene insert is not shown: no procedure of the cohort is in this group.',
    });
  });

  it('of one group has its curve and nothing to compare it with', async () => {
    const { groups, curves, logRank, unadjusted, adjusted, periods } = await answered(twoDesigns, { groups: ['all_poly_keeled'] });
    expect([groups.length, curves.length]).toEqual([1, 1]);
    for (const nothing of [logRank, unadjusted, adjusted, periods]) expect(nothing).toEqual({ status: 'notEstimable', reason: 'there is only one group' });
  });

  it('loses at every step what it shows as lost', async () => {
    const { attrition, groups } = await answered(twoDesigns, { cohort: { sexes: ['female'] } });
    attrition.slice(1).forEach((step, i) => { expect(step.remaining + step.excluded).toBe(attrition[i]!.remaining); });
    expect(attrition.at(-1)!.remaining).toBe(groups.reduce((sum, group) => sum + group.procedures, 0));
  });
});

describe('groups', () => {
  it('are compared with the largest, or with the one asked for', async () => {
    expect((await answered(twoDesigns, {})).reference).toBe('all_poly_pegged');
    const { reference, unadjusted } = await answered(twoDesigns, { reference: 'all_poly_keeled' });
    expect(reference).toBe('all_poly_keeled');
    expect(fitted(unadjusted).ratios).toMatchObject([{ term: 'group', level: 'all_poly_pegged', against: 'All-polyethylene keeled', procedures: 40, events: 4 }]);
  });

  it('come in the order asked for, and a reference that is not among them is replaced aloud', async () => {
    const { groups, reference, notes } = await answered(twoDesigns, { groups: ['all_poly_keeled', 'all_poly_pegged'], reference: 'metal_backed' });
    expect(groups.map((group) => group.key)).toEqual(['all_poly_keeled', 'all_poly_pegged']);
    expect(reference).toBe('all_poly_pegged');
    expect(notes).toEqual(['Metal-backed with polyethylene insert cannot be the reference: it is not among the groups compared. All-polyethylene pegged is.']);
  });

  it('beyond the eight largest are counted, not shown', async () => {
    const rows = Array.from({ length: 10 }, (_, m) => times(12 - m, { glenoid_model: `G-${m}` })).flat();
    const { groups, notes, attrition } = await answered(rows, { compare: 'model' });
    expect(groups.map((group) => group.key)).toEqual(['G-0', 'G-1', 'G-2', 'G-3', 'G-4', 'G-5', 'G-6', 'G-7']);
    expect(notes).toEqual(['The 8 largest groups are shown; 2 more with 7 procedures together are not.']);
    expect(attrition.at(-1)!.excluded).toBe(7);
  });

  it('that were never used in the same year are pointed out', async () => {
    const { notes, calendar } = await answered([...times(3, { year: 2008 }), ...times(2, { ...keeled, year: 2005 })], {});
    expect(notes).toEqual([
      'All-polyethylene keeled and All-polyethylene pegged were never used in the same year: their difference cannot be told from a change over time.',
    ]);
    expect(calendar).toEqual({ years: [2005, 2006, 2007, 2008], counts: [[0, 0, 0, 3], [2, 0, 0, 0]] });
  });

  it('say how long they were followed, by whom they were used and how they ended', async () => {
    const rows = [
      { patient: 1, surgeon: 'S1', exit_day: 1461 }, { patient: 1, surgeon: 'S1', exit_day: 1461, side: 'left' },
      { patient: 2, surgeon: 'S2', exit_day: 731, ending: 'death' }, { patient: 3, surgeon: 'S1', exit_day: 0, ...revised },
    ];
    const { groups: [group] } = await answered(rows, { groups: ['all_poly_pegged'] });
    expect(group).toMatchObject({
      procedures: 4, patients: 3, hospitals: 1, surgeons: 2, largestHospitalShare: 100, largestSurgeonShare: 75,
      events: 1, competing: { otherRevisions: 0, deaths: 1 }, medianFollowUpDays: 1461,
    });
    expect(group!.componentYears).toBeCloseTo((1461 + 1461 + 731) / 365.25, 12);
  });
});

describe('the stop rule', () => {
  // One of 60 is revised on day 100, so that S = 59/60 from then on and 0.02 asks for at least 50 · 59/60 = 49.2 at risk:
  // 51 are at risk on day 300, 46 later.
  const rows = [{ exit_day: 100, ...revised }, ...times(8, { exit_day: 200 }), ...times(5, { exit_day: 300 }), ...times(46, { exit_day: 500 })];

  it('ends the curve and every number read from it', async () => {
    const { curves: [curve], atTimes, riskTable } = await answered(rows, { atYears: [0.5, 1], horizonYears: 1 });
    expect(curve!.stop).toEqual({ day: 300, atRisk: 51, stopped: true });
    expect([...curve!.days]).toEqual([0, 100, 200, 300]);
    expect([...curve!.atRisk]).toEqual([60, 60, 59, 51]);
    expect(curve!.percent[1]).toBeCloseTo(100 / 60, 12);
    expect(atTimes[0]).toMatchObject({ years: 0.5, atRisk: 59, events: 1, estimate: { value: curve!.percent[1]! } });
    expect(atTimes[1]).toEqual({
      years: 1, group: 'all_poly_pegged', atRisk: 46, events: 1, estimate: { status: 'notEstimable', reason: 'too few at risk (n = 46)' },
    });
    expect(riskTable).toEqual({ days: [0, 365], atRisk: [[60, 46]] });
  });

  it('can be turned off', async () => {
    const { curves: [curve], atTimes } = await answered(rows, { largestStep: 0, atYears: [1], horizonYears: 1 });
    expect(curve!.stop).toEqual({ day: 365, atRisk: 46, stopped: false });
    expect(atTimes[0]!.estimate).toMatchObject({ value: curve!.percent[1]! });
  });

  it('leaves no curve where too few are at risk from the start', async () => {
    const { curves: [curve], atTimes: [atTime] } = await answered(times(20, {}), { atYears: [1] });
    expect([...curve!.days]).toEqual([]);
    expect(curve!.stop).toEqual({ day: 0, atRisk: 20, stopped: true });
    expect(atTime!.estimate).toEqual({ status: 'notEstimable', reason: 'too few at risk (n = 20)' });
  });
});

describe('the horizon', () => {
  it('ends all follow-up but the median one; an event on its last day counts', async () => {
    const rows = [...times(60, { exit_day: 3000 }), { exit_day: 731, ...revised }, { exit_day: 732, ...revised }, { exit_day: 733, ending: 'death' }];
    const { groups: [group], rates: [rate], curves: [curve], atTimes } = await answered(rows, { horizonYears: 2, atYears: [2, 5] });
    expect(group).toMatchObject({ events: 1, competing: { otherRevisions: 0, deaths: 0 }, medianFollowUpDays: 3000 });
    expect(rate!.componentYears).toBeCloseTo((63 * 731) / 365.25, 9);
    expect([...curve!.days]).toEqual([0, 731]);
    expect(atTimes[0]!.estimate).toMatchObject({ value: curve!.percent[1]! });
    expect(atTimes[1]!.estimate).toEqual({ status: 'notEstimable', reason: 'beyond the 2 years that are looked at' });
  });

  it('leaves out, and counts, those who came under observation after it', async () => {
    const { attrition, groups: [group], riskTable } = await answered([...times(5, {}), ...times(3, { entry_day: 400 }), { entry_day: 365 }], { horizonYears: 1 });
    expect(attrition.find((step) => step.label === 'Observed at some time within 1 year')).toEqual({
      label: 'Observed at some time within 1 year', excluded: 4, remaining: 5,
    });
    expect([group!.procedures, riskTable.atRisk]).toEqual([5, [[5, 5]]]);
  });
});

describe('late joining', () => {
  it('puts nobody at risk before the registry could have seen a revision', async () => {
    const { riskTable, groups: [group] } = await answered([...times(5, {}), ...times(3, { entry_day: 400 })], { horizonYears: 2 });
    expect(riskTable.atRisk).toEqual([[5, 5, 8]]);
    expect(group!.componentYears).toBeCloseTo((5 * 731 + 3 * 331) / 365.25, 9);
  });
});

describe('the event of interest', () => {
  const rows = [
    ...times(10, {}), { ...revised, exit_day: 10 }, { ...revised, exit_day: 20, reason: 'infection' }, { ...revised, exit_day: 30, reason: null },
    { ...revised, exit_day: 40, removed: 0 }, { exit_day: 50, ending: 'death' },
  ];

  it('makes other reasons compete, and says how many have none recorded', async () => {
    const { groups: [group], notes } = await answered(rows, { outcome: { reasons: ['glenoid_loosening'] } });
    expect(group).toMatchObject({ events: 2, competing: { otherRevisions: 2, deaths: 1 } });
    expect(notes).toEqual(['Revisions without a recorded reason, counted as being for other reasons: 1.']);
  });

  it('makes revisions of other components compete, and says how many record none', async () => {
    const { groups: [group], notes } = await answered(rows, { outcome: { ofRoleOnly: true } });
    expect(group).toMatchObject({ events: 3, competing: { otherRevisions: 1, deaths: 1 } });
    expect(notes).toEqual(['Revisions with no component recorded as removed, counted as not being of the glenoid component: 1.']);
  });
});

describe('adjustment', () => {
  it('fits both models to the procedures with every covariate recorded', async () => {
    const rows = twoDesigns.map((row, i) => (i < 5 ? { ...row, asa: null } : { ...row, asa: 1 + (i % 2) }));
    const { unadjusted, adjusted } = await answered(rows, { adjust: ['asa', 'sex', 'asa'] });
    const [plain, full] = [fitted(unadjusted), fitted(adjusted)];
    expect([plain.procedures, full.procedures]).toEqual([55, 55]);
    expect([plain.leftOut, full.leftOut]).toEqual(Array(2).fill([{ covariate: 'ASA grade', missing: 5 }]));
    expect(plain.notes[0]).toBe('Fitted to the same procedures as the adjusted model.');
    expect(full.adjustedFor).toEqual(['ASA grade', 'Sex']);
    expect(full.ratios.map((r) => [r.term, r.label, r.against])).toEqual([
      ['group', 'All-polyethylene keeled', 'All-polyethylene pegged'], ['asa', 'ASA 1', 'ASA 2'], ['sex', 'Men', 'Women'],
    ]);
    expect(full.ratios.slice(1).map((r) => r.procedures)).toEqual([27, 18]);
  });

  it('is the unadjusted model where nothing is adjusted for', async () => {
    const { unadjusted, adjusted } = await answered(twoDesigns, {});
    expect(adjusted).toBe(unadjusted);
  });

  it('by strata stratifies the test and the adjusted model alone', async () => {
    const { logRank, unadjusted, adjusted } = await answered(twoDesigns, { strata: ['region'] });
    expect(logRank).toMatchObject({ status: 'ok', df: 1, stratified: true });
    expect([fitted(unadjusted).adjustedFor, fitted(adjusted).adjustedFor]).toEqual([[], ['Region (stratified)']]);
    expect(fitted(adjusted).ratios[0]!.estimate).not.toEqual(fitted(unadjusted).ratios[0]!.estimate);
  });

  it('for age in years has one ratio, per ten years', async () => {
    const { adjusted } = await answered(twoDesigns, { adjust: ['age_linear'] });
    expect(fitted(adjusted).ratios[1]).toMatchObject({ term: 'age_linear', level: '', label: 'Age, per 10 years', against: null, procedures: 60, events: 8 });
  });

  it('for what is the same for all is left out with a note', async () => {
    const { adjusted } = await answered(twoDesigns, { adjust: ['class'] });
    expect(fitted(adjusted).notes).toContain('Class is not in the model: it is the same for all.');
    expect(fitted(adjusted).ratios).toHaveLength(1);
  });

  it('gives no ratio where nobody of the reference group has every covariate recorded', async () => {
    const rows = twoDesigns.map((row) => ('glenoid_design' in row ? row : { ...row, bmi: null }));
    const { unadjusted, adjusted, logRank } = await answered(rows, { adjust: ['bmi'] });
    const reason = 'no procedure of the reference group has every covariate recorded';
    expect([unadjusted, adjusted]).toEqual(Array(2).fill({ status: 'notEstimable', reason }));
    expect(logRank.status).toBe('ok');
  });

  it('gives no ratio for a group without revisions, and says so', async () => {
    const { unadjusted } = await answered([...twoDesigns, ...times(30, { glenoid_design: 'metal_backed', exit_day: 500 })], {});
    const metal = fitted(unadjusted).ratios.find((ratio) => ratio.level === 'metal_backed');
    expect(metal).toMatchObject({ procedures: 30, events: 0, estimate: { status: 'notEstimable' } });
    expect(metal!.p).toBeNaN();
  });
});

describe('dependence', () => {
  it.each([
    { cluster: 'none', clusterLabel: null, clusters: 0 },
    { cluster: 'patient', clusterLabel: 'patient', clusters: 59 },
    { cluster: 'hospital', clusterLabel: 'hospital', clusters: 4 },
  ])('is allowed for by $cluster', async ({ cluster, clusterLabel, clusters }) => {
    const rows = twoDesigns.map((row, i) => ({ ...row, patient: i === 1 ? 0 : i }));
    const { unadjusted } = await answered(rows, { cluster });
    expect(fitted(unadjusted)).toMatchObject({ clusterLabel, clusters });
    expect(fitted(unadjusted).notes.some((note) => note.startsWith('only 4 clusters'))).toBe(cluster === 'hospital');
  });

  it('cannot be allowed for between the procedures of one hospital: every ratio says so, wherever it is shown, and those of several hospitals do not', async () => {
    const asked = { cluster: 'hospital', cutYears: [1], horizonYears: 2 }, reason = 'all procedures belong to one cluster', limits = 'limits do not allow for clusters';
    const one = await answered(twoDesigns.map((row) => ({ ...row, hospital: 'H1' })), asked), model = fitted(one.unadjusted);
    if ('status' in one.periods) throw new Error(one.periods.reason);
    expect(model).toMatchObject({ clusterLabel: null, clusters: 0, ratios: [{ ownLimits: reason }], notes: [...model.notes.slice(0, -1), `Limits do not allow for hospitals: ${reason}.`] });
    expect(one.periods.map(({ ratios: [ratio] }) => ['value' in ratio!.estimate, ratio!.ownLimits])).toEqual([[true, reason], [false, undefined]]);
    expect(forestRow(one.groups, model.ratios[0]!, () => 50, { detail: 'from the start' }).detail).toBe(`from the start; ${limits}`);
    expect(ratioCells(model.ratios[0]!)[0]!.text).toBe(`All-polyethylene keeled (${limits}: ${reason})`);

    const several = await answered(twoDesigns, asked), ratio = fitted(several.unadjusted).ratios[0]!;
    expect('ownLimits' in ratio).toBe(false);
    expect([forestRow(several.groups, ratio, () => 50).detail, ratioCells(ratio)[0]!.text]).toEqual([null, 'All-polyethylene keeled']);
  });
});

describe('period-specific ratios', () => {
  it('count who is at risk in each period and what happens in it', async () => {
    const { periods } = await answered(twoDesigns, { cutYears: [0.5], horizonYears: 2 });
    if ('status' in periods) throw new Error(periods.reason);
    expect(periods.map(({ fromDay, toDay, ratios }) => [fromDay, toDay, ratios[0]!.procedures, ratios[0]!.events])).toEqual([[0, 183, 20, 4], [183, null, 16, 0]]);
  });
});

describe('a newer question', () => {
  it('stops an older one', async () => {
    const database = await followupDatabase(twoDesigns);
    const controller = new AbortController();
    const steps: string[] = [];
    const older = analyse({ database, source }, Question.parse({}), {
      signal: controller.signal,
      onProgress: ({ label }) => {
        steps.push(label);
        if (steps.length === 3) controller.abort(new Error('a newer question'));
      },
    });
    await expect(older).rejects.toThrow('a newer question');
    expect(steps).toHaveLength(3);
    await database.close();
  });
});
