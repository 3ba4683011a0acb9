import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { MonitoringQuestion } from '@/lib/contract/monitoringQuestion';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { toCsv } from '@/lib/reports/csv';
import { smallAtLooks } from '@/lib/reports/monitoring/disclosed';
import { monitoringReport, type MonitoringReport } from '@/lib/reports/monitoring/monitoringReport';
import { overviewReport, type OverviewReport } from '@/lib/reports/monitoring/overviewReport';
import { thinDays } from '@/lib/reports/monitoring/thinDays';
import { monitor } from '@/lib/screening/monitoring/monitor';
import { monitorAll } from '@/lib/screening/monitoring/overview';
import { BlockSchema } from '@/lib/review/blockSchema';
import { loadSample } from '../../analysis/sampleExtract';

let extract: LoadedExtract;
beforeAll(async () => {
  extract = await loadSample();
});
afterAll(() => extract.database.close());

async function reported(asked: object, id: string): Promise<MonitoringReport> {
  const question = MonitoringQuestion.parse(asked);
  const result = await monitor(extract, question, question.kind === 'component' ? null : { kind: question.kind, id });
  if (result.status === 'empty') throw new Error(result.reason);
  return monitoringReport(result);
}
const sentences = ({ sections }: MonitoringReport | OverviewReport) => sections.flatMap(({ blocks }) => blocks.flatMap((b) => (b.kind === 'words' ? b.sentences : [])));
const figureOf = ({ sections }: MonitoringReport) => sections.flatMap(({ blocks }) => blocks.flatMap((b) => (b.kind === 'monitor' ? [b] : [])))[0]!;

describe('looks that are told outside the page', () => {
  it('keep the numbers between any two of them, and from the first day, at none or five and more', () => {
    fc.assert(fc.property(fc.array(fc.integer({ min: 0, max: 7 }), { minLength: 1, maxLength: 40 }), (counts) => {
      let total = 0;
      const looks = counts.map((n) => ({ observed: total += n })), small = smallAtLooks(looks), told = looks.filter((_, i) => small[i] === 0).map(({ observed }) => observed);
      if (total === 0 || total >= 5) expect(told.at(-1)).toBe(total);
      [0, ...told].forEach((from, i) => { [0, ...told].slice(i + 1).forEach((to) => { expect(to === from || to - from >= 5).toBe(true); }); });
      small.forEach((n) => { expect(n).toBeLessThan(5); });
    }));
  });

  it('four revisions in all are told at no look after the first of them', () => {
    expect(smallAtLooks([0, 1, 4].map((observed) => ({ observed })))).toEqual([0, 1, 4]);
  });
});

describe('days that are drawn', () => {
  it('leave no day further than a column of dots from one that is drawn, with the lowest and highest of each column', () => {
    fc.assert(fc.property(fc.array(fc.double({ min: 0, max: 9, noNaN: true }), { minLength: 2, maxLength: 400 }), fc.integer({ min: 5, max: 60 }), (list, across) => {
      const values = Float64Array.from(list), points = thinDays(values, 100, across), columnOf = (day: number) => Math.floor(((day - 100) / (values.length - 1)) * across);
      points.forEach(({ day, value }) => { expect(value).toBe(values[day - 100]); });
      expect(points.map(({ day }) => day)).toEqual([...new Set(points.map(({ day }) => day))].sort((a, b) => a - b));
      values.forEach((v, t) => {
        const drawn = points.filter(({ day }) => columnOf(day) === columnOf(100 + t)).map(({ value }) => value);
        expect(v).toBeGreaterThanOrEqual(Math.min(...drawn));
        expect(v).toBeLessThanOrEqual(Math.max(...drawn));
      });
    }));
  });
});

describe('what a committee reads of hospital H044', () => {
  it('that its chart signalled, when that was seen, how many looks were taken, and that it is a question', async () => {
    const report = await reported({ looks: 'quarter' }, 'H044'), words = sentences(report).map(({ text }) => text).join(' ');
    expect(words).toMatch(/has signalled: it was above its limit at the look of 31 March 2013, the 33rd of 80\./);
    expect(words).toContain('A signal is a question and no verdict');
    expect(words).toContain('It is looked at 80 times');
    expect(words).toMatch(/By 2 October 2024, 131 revisions were observed and 70\.1 expected/);
    expect(report.evidence).toMatchObject({ look: 80, subject: { kind: 'hospital', id: 'H044', label: 'hospital H044' } });
    expect(report.evidence!.blocks.map((block) => BlockSchema.safeParse(JSON.parse(JSON.stringify(block))).success)).toEqual(report.evidence!.blocks.map(() => true));
  });

  it('the day of a single revision, and small counts, stay on the page', async () => {
    const report = await reported({}, 'H044'), { table, figure } = figureOf(report);
    expect(sentences(report).filter(({ text }) => text.includes('13 February 2013')).map(({ staysInside }) => staysInside)).toEqual([true]);
    const told = figure.counts.lines[0]!.paper.map(({ value }) => value);
    told.slice(1).map((value, i) => value - told[i]!).forEach((since) => { expect(since === 0 || since >= 5).toBe(true); });
    const csv = toCsv(table, report.provenance);
    expect(csv).toContain('withheld');
    expect(csv).not.toContain('H044');
  });

  it('after a review on record the chart starts again', async () => {
    const { table, figure } = figureOf(await reported({ reviews: ['2013-09-30'] }, 'H044'));
    expect(figure.resets).toHaveLength(1);
    expect(table.rows.filter(({ cells }) => cells.at(-1)!.text.includes('R1 starts again on 30 September 2013'))).toHaveLength(1);
    expect(table.rows.flatMap(({ cells }) => (/S\d signal/.exec(cells.at(-1)!.text)) ?? [])).toEqual(['S1 signal', 'S2 signal']);
  });
});

describe('all charts at once', () => {
  const all = async (names: boolean) => {
    const result = await monitorAll(extract, MonitoringQuestion.parse({ histories: 1000 }));
    if (result.status === 'empty') throw new Error(result.reason);
    return overviewReport(result, { names, marked: null });
  };
  const firstColumn = ({ sections }: OverviewReport) => sections.flatMap(({ blocks }) => blocks.flatMap((b) => (b.kind === 'table' ? b.table.rows.map(({ cells }) => cells[0]!) : [])));

  it('say how many signalled and how many would by chance, and name nobody unless asked; never outside the page', async () => {
    const unnamed = await all(false);
    expect(sentences(unnamed).map(({ text }) => text).join(' ')).toMatch(/60 hospitals have a chart .* By chance alone about \d+\.\d would have in the years drawn, and about 3\.0 would within 5 years/);
    expect(new Set(firstColumn(unnamed).map(({ text }) => text))).toEqual(new Set(['a peer']));
    const named = firstColumn(await all(true));
    expect(named.some(({ text }) => text === 'H044')).toBe(true);
    expect(new Set(named.map(({ outside }) => outside))).toEqual(new Set(['a peer']));
  });
});
