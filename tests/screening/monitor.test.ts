import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { dateOf, dayOf } from '@/lib/contract/calendarDay';
import { MonitoringQuestion } from '@/lib/contract/monitoringQuestion';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { signalChanceInPieces } from '@/lib/screening/monitoring/cusumThreshold';
import { finish } from '@/lib/stats/inPieces';
import { monitor } from '@/lib/screening/monitoring/monitor';
import type { Monitoring, MonitoringChart, MonitoringOverview } from '@/lib/screening/monitoring/monitoringResult';
import { monitorAll } from '@/lib/screening/monitoring/overview';
import { lookDays } from '@/lib/screening/monitoring/period';
import { loadSample } from '../analysis/sampleExtract';
import { expectClose } from '../reference/closeTo';
import { estimated } from '../stats/designs';
import { fixture } from '../stats/rows';

let extract: LoadedExtract;
beforeAll(async () => {
  extract = await loadSample();
});
afterAll(() => extract.database.close());

const fewer = { histories: 1000 };
async function chartOf(asked: object, id: string | null = null): Promise<Monitoring & { readonly drawn: MonitoringChart }> {
  const question = MonitoringQuestion.parse(asked);
  const result = await monitor(extract, question, id === null || question.kind === 'component' ? null : { kind: question.kind, id });
  if (result.status === 'empty') throw new Error(result.reason);
  return { ...result, drawn: estimated(result.chart) };
}
async function overview(asked: object): Promise<MonitoringOverview> {
  const result = await monitorAll(extract, MonitoringQuestion.parse(asked));
  if (result.status === 'empty') throw new Error(result.reason);
  return result;
}
const sum = (values: Iterable<number>): number => [...values].reduce((total, v) => total + v, 0);

interface Recorded {
  readonly name: string;
  readonly input: { readonly version: string; readonly question: object; readonly id: string };
  readonly expected: {
    readonly firstDay: number; readonly lastDay: number; readonly procedures: number;
    readonly day: number[]; readonly observed: number[]; readonly expected: number[]; readonly value: number[];
    readonly simulated?: { readonly histories: number; readonly limits: number[]; readonly falseAlarm: number[]; readonly detection: number[] };
  };
}
const { cases } = fixture('monitoring') as { cases: readonly Recorded[] };

// tests/reference/monitoring.R: R 4.2.2, survival 3.5-3, from the CSV files of the extract to the chart.
describe('the chart that R draws from the same extract', () => {
  it.each(cases)('$name: observed, expected and the cumulative sum at the end of every quarter', async ({ input, expected }) => {
    expect(extract.source.version).toBe(input.version);
    const { period, procedures, looks } = await chartOf({ ...fewer, ...input.question }, input.id);
    expect({ firstDay: period.firstDay, lastDay: period.lastDay, procedures }).toEqual({ firstDay: expected.firstDay, lastDay: expected.lastDay, procedures: expected.procedures });
    expect(looks.map(({ day }) => day)).toEqual(expected.day);
    expect(looks.map(({ observed }) => observed)).toEqual(expected.observed);
    expectClose(looks.map((look) => look.expected), expected.expected, 1e-8);
    expectClose(looks.map(({ value }) => value), expected.value, 1e-8);
  });

  it.each(cases.filter(({ expected }) => expected.simulated !== undefined))('$name: its limit is passed as often, in five years that R simulates', async ({ input, expected }) => {
    const { histories, limits, falseAlarm, detection } = expected.simulated!, { drawn: { limit } } = await chartOf(input.question, input.id);
    const at = limits.findIndex((h) => h >= limit.threshold);
    expect(at).toBeGreaterThan(0);
    const error = (p: number) => Math.sqrt(p * (1 - p) * (1 / histories + 1 / limit.histories));
    for (const [own, theirs] of [[limit.falseAlarm, falseAlarm], [limit.detection, detection]] as const) {
      expect(own).toBeGreaterThan(theirs[at]! - 4 * error(own));
      expect(own).toBeLessThan(theirs[at - 1]! + 4 * error(own));
    }
    expect(limit.falseAlarm).toBeGreaterThan(0.045);
    expect(limit.falseAlarm).toBeLessThanOrEqual(0.05);
  });
});

describe('what was planted in the sample registry is seen', () => {
  // sample-registry/truth.json: hazard ratios of 2.2 and 2.5
  it.each([
    { kind: 'hospital', id: 'H044' }, { kind: 'hospital', id: 'H032' }, { kind: 'surgeon', id: 'S0219' },
    { kind: 'component', role: 'glenoid', model: 'G-FLU-02' }, { kind: 'component', role: 'humeral_stem', model: 'H-SHO-02' },
  ])('the chart of $kind $id $model signals', async ({ id = null, ...asked }) => {
    const { drawn: { signals, limit, value }, looks } = await chartOf({ ...fewer, ...asked }, id);
    expect(signals).toHaveLength(1); // and then stands until a review
    const [{ day, look, value: above }] = signals as [(typeof signals)[number]];
    expect(above).toBeGreaterThan(limit.threshold);
    expect(look === null ? NaN : looks[look - 1]!.day).toBeGreaterThanOrEqual(day);
    expect(look === null || look === 1 ? NaN : looks[look - 2]!.day).toBeLessThan(day);
    expect(value.findIndex((v) => v > limit.threshold)).toBe(day - (looks.at(-1)!.day - value.length + 1));
  });

  // Log-normal differences between hospitals and surgeons, with the standard deviations of truth.json; here learning curves are left aside
  it.each([{ kind: 'hospital', sd: 0.25, planted: ['H044', 'H032'] }, { kind: 'surgeon', sd: Math.hypot(0.25, 0.2), planted: ['S0219'] }])(
    'of every other $kind, as many signal as false alarms and true differences let expect', async ({ kind, sd, planted }) => {
      const { lines } = await overview({ ...fewer, kind });
      const others = lines.filter(({ id }) => !planted.includes(id)), signalled = others.filter(({ signals }) => signals.length > 0).length;
      expect(lines.filter(({ id, signals }) => planted.includes(id) && signals.length > 0)).toHaveLength(planted.length);
      const normal = [-2.05, -1.48, -1.13, -0.86, -0.64, -0.44, -0.25, -0.08, 0.08, 0.25, 0.44, 0.64, 0.86, 1.13, 1.48, 2.05]; // mid-sixteenths
      const chances = others.map(({ limit, expected }) => sum(normal.map((z) => chance(expected, estimated(limit).threshold, Math.exp(sd * z - (sd * sd) / 2)))) / normal.length);
      const expected = sum(chances), spread = Math.sqrt(sum(chances.map((p) => p * (1 - p))));
      expect(Math.abs(signalled - expected)).toBeLessThan(3 * spread);
    });
});

/** Of any signal while so many revisions are expected, one like the other. */
const chance = (expected: number, threshold: number, trueRatio: number): number =>
  finish(signalChanceInPieces(new Float64Array(500).fill(expected / 500), threshold, { ratio: 2, trueRatio, seed: 5, histories: 200 }));

describe('one chart among all', () => {
  it.each([{ kind: 'hospital', id: 'H044' }, { kind: 'component', id: 'G-FLU-02', role: 'glenoid', model: 'G-FLU-02' }])('$id has the same limit, counts and signals alone and among all', async ({ id, ...asked }) => {
    const { lines } = await overview({ ...fewer, ...asked }), line = lines.find((l) => l.id === id)!;
    const { drawn, looks, procedures } = await chartOf({ ...fewer, ...asked, restart: 'afterSignal' }, id);
    expect(line.limit).toEqual(drawn.limit);
    expect({ procedures: line.procedures, observed: line.observed, signals: line.signals, byChance: line.byChance })
      .toEqual({ procedures, observed: looks.at(-1)!.observed, signals: drawn.signals.map(({ day }) => day), byChance: drawn.byChance });
    expect(line.expected).toBeCloseTo(looks.at(-1)!.expected, 9);
  });

  it('they stand in the order of expected revisions, and together expect the revisions there were', async () => {
    const { lines } = await overview({ ...fewer, horizonYears: 10 });
    expect(lines.map(({ expected }) => expected)).toEqual(lines.map(({ expected }) => expected).sort((a, b) => b - a));
    expect(Math.abs(sum(lines.map(({ expected }) => expected)) - sum(lines.map(({ observed }) => observed)))).toBeLessThan(1e-6);
  });
});

describe('the days of a chart', () => {
  const days = (from: string, to: string, looks: 'month' | 'quarter' | 'year') => lookDays({ firstDay: dayOf(from), lastDay: dayOf(to), looks }).map(dateOf);

  it.each([
    { looks: 'quarter', from: '2019-11-15', to: '2020-08-02', found: ['2019-12-31', '2020-03-31', '2020-06-30', '2020-08-02'] },
    { looks: 'month', from: '2020-01-31', to: '2020-03-31', found: ['2020-01-31', '2020-02-29', '2020-03-31'] },
    { looks: 'year', from: '2020-02-01', to: '2022-12-31', found: ['2020-12-31', '2021-12-31', '2022-12-31'] },
    { looks: 'year', from: '2020-02-01', to: '2020-05-01', found: ['2020-05-01'] },
  ] as const)('looked at every $looks from $from to $to', ({ looks, from, to, found }) => { expect(days(from, to, looks)).toEqual(found); });

  it('end where reporting is complete, unless another day is asked for, and never after the closing date', async () => {
    const last = async (asked: object) => { const { period } = await chartOf({ ...fewer, ...asked }, 'H032'); return [dateOf(period.lastDay), period.intoLag]; };
    expect(await last({})).toEqual(['2024-10-02', false]);
    expect(await last({ lagDays: 0 })).toEqual(['2024-12-31', false]);
    expect(await last({ lastDay: '2024-11-30' })).toEqual(['2024-11-30', true]);
    expect(await last({ lastDay: '2030-01-01' })).toEqual(['2024-12-31', true]);
  });

  it('what is asked for later than the end, and for nobody, is said', async () => {
    const asked = (question: object, id: string | null) => monitor(extract, MonitoringQuestion.parse(question), id === null ? null : { kind: 'hospital', id });
    expect(await asked({}, null)).toEqual({ status: 'empty', reason: 'No hospital is chosen.', attrition: [] });
    expect(await asked({ kind: 'component' }, null)).toMatchObject({ reason: 'No model is chosen.' });
    expect(await asked({}, 'H999')).toMatchObject({ status: 'empty', reason: 'No procedure of this hospital meets these conditions.' });
    expect(await asked({ firstDay: '2024-12-01' }, 'H044')).toMatchObject({ reason: 'The chart would begin on 2024-12-01 and end on 2024-10-02.' });
  });

  it('a newer question stops the simulation', async () => {
    const controller = new AbortController(), question = MonitoringQuestion.parse({ histories: 100_000 });
    const work = monitor(extract, question, { kind: 'hospital', id: 'H044' }, {
      signal: controller.signal, onProgress: ({ fraction }) => { if (fraction > 0.2) controller.abort(new Error('another question')); },
    });
    await expect(work).rejects.toThrow('another question');
  });
});

describe('a chart with little to go by', () => {
  it('of a surgeon with few procedures seldom sees a doubling, and a single revision is no signal', async () => {
    const { lines } = await overview({ ...fewer, kind: 'surgeon' });
    const least = lines.at(-1)!, limit = estimated(least.limit);
    expect(limit.threshold).toBeGreaterThanOrEqual(Math.LN2);
    expect(limit.detection).toBeLessThan(0.3);
    expect(lines.filter(({ observed, signals }) => observed < 2 && signals.length > 0)).toEqual([]);
  });

  it('has no limit where nobody is to compare with', async () => {
    const only = { cohort: { classes: ['hemi'], minAge: 109 } };
    const result = await monitor(extract, MonitoringQuestion.parse(only), { kind: 'hospital', id: 'H044' });
    expect(result.status === 'empty' || result.chart.status === 'notEstimable').toBe(true);
  });
});

describe('sprt and maxSprt beside it', () => {
  it('decide by their own bounds: ± 4.595 for errors of 1% (Spiegelhalter et al. 2003, Int J Qual Health Care 15:7)', async () => {
    const { drawn: { sprt, maxSprt }, looks } = await chartOf(fewer, 'H044'), { observed, expected } = looks.at(-1)!;
    expect([sprt.upper, sprt.lower].map((v) => v.toFixed(3))).toEqual(['4.595', '-4.595']);
    expect(sprt.value).toBeCloseTo(observed * Math.LN2 - expected, 9);
    expect(sprt.decision?.side).toBe('higher');
    expect(maxSprt.status === 'ok' && maxSprt.value).toBeCloseTo(expected - observed + observed * Math.log(observed / expected), 9);
    expect(maxSprt.status === 'ok' && maxSprt.signal !== null).toBe(true);
  });
});
