import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { MonitoringQuestion } from '@/lib/contract/monitoringQuestion';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { monitor } from '@/lib/screening/monitoring/monitor';
import type { Monitoring, MonitoringChart, MonitoringOverview } from '@/lib/screening/monitoring/monitoringResult';
import { monitorAll } from '@/lib/screening/monitoring/overview';
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
