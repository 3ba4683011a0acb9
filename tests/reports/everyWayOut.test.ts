import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import { answerChapter, type ChapterName } from '@/lib/analysis/chapters';
import { MonitoringQuestion } from '@/lib/contract/monitoringQuestion';
import { openingQuestion } from '@/lib/contract/openingQuestion';
import { Question } from '@/lib/contract/question';
import { ScreeningQuestion } from '@/lib/contract/screeningQuestion';
import { UnitsQuestion } from '@/lib/contract/unitsQuestion';
import { VisitsQuestion } from '@/lib/contract/visitsQuestion';
import { View } from '@/lib/contract/view';
import { audit, widthOf } from '@/lib/disclosure/audit';
import { under, type Policy } from '@/lib/disclosure/policy';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { reportChapter } from '@/lib/reports/chapters';
import { comparisonReport } from '@/lib/reports/comparisonReport';
import { toCsv } from '@/lib/reports/csv';
import { monitoringReport } from '@/lib/reports/monitoring/monitoringReport';
import { overviewReport } from '@/lib/reports/monitoring/overviewReport';
import { explainedReport } from '@/lib/reports/screening/explainedReport';
import { screeningReport } from '@/lib/reports/screening/screeningReport';
import type { Cell, ProtectedTable } from '@/lib/reports/table';
import { monthEnds } from '@/lib/reports/timeAxis';
import type { TimeFigure } from '@/lib/reports/timeFigure';
import { unitReport } from '@/lib/reports/units/unitReport';
import { unitsReport } from '@/lib/reports/units/unitsReport';
import { visitsReport } from '@/lib/reports/visits/visitsReport';
import { explainComponent } from '@/lib/screening/components/explainComponent';
import { screenComponents } from '@/lib/screening/components/screenComponents';
import { monitor } from '@/lib/screening/monitoring/monitor';
import { monitorAll } from '@/lib/screening/monitoring/overview';
import { allUnits } from '@/lib/screening/units/allUnits';
import { oneUnit } from '@/lib/screening/units/oneUnit';
import { analyseVisits } from '@/lib/visits/analyseVisits';
import { loadSample } from '../analysis/sampleExtract';
import { estimated } from '../stats/designs';

// Everything that every page makes of the committed sample registry, as it would leave the page: an attacker who knows that counts are whole
// numbers from 0 and that blocks add up goes through it.

const asked = { peers: 'all', kind: 'hospital' } as const;
const chapterNames: readonly ChapterName[] = ['competingRisks', 'difference', 'subgroups', 'sameCaseMix', 'sensitivity', 'precision'];

/** Results once, to be made into reports under every policy. */
async function reportsOf(extract: LoadedExtract): Promise<() => Readonly<Record<string, unknown>>> {
  const question = Question.parse({ ...openingQuestion, groups: ['all_poly_pegged', 'all_poly_keeled', 'metal_backed'], adjust: ['age', 'sex', 'asa'], atYears: [0.25, 1, 5, 10] });
  const few = Question.parse({ ...openingQuestion, cohort: { joint: 'shoulder', role: 'glenoid', classes: ['anatomic_total'], indications: ['fracture_sequelae'] }, compare: 'model', groups: [], reference: null });
  const main = estimated(await analyse(extract, question)), sparse = estimated(await analyse(extract, few));
  const chapters: (() => unknown)[] = [];
  for (const [analysis, of] of [[main, question], [sparse, few]] as const) {
    for (const name of of === question ? chapterNames : chapterNames.slice(0, 3)) {
      const result = await answerChapter(extract, of, name);
      if (result.status === 'ok') chapters.push(() => reportChapter(analysis, name, result, View.parse({ deaths: 'both' })));
    }
  }
  const units = UnitsQuestion.parse(asked), all = estimated(await allUnits(extract, units)), id = all.units.find(({ status }) => status === 'flagged')!.id;
  const one = estimated(await oneUnit(extract, units, { kind: 'hospital', id, chosenPeers: [] }));
  const screening = ScreeningQuestion.parse({ roles: ['glenoid'] }), screened = estimated(await screenComponents(extract, screening)), explained = await explainComponent(extract, screening, { model: 'G-FLU-02', class: null });
  const overTime = MonitoringQuestion.parse({ histories: 1000 }), chart = await monitor(extract, overTime, { kind: 'hospital', id }), charts = await monitorAll(extract, overTime);
  const importantDifference = { value: 30, instrument: 'TS-100', anchor: 'invented', population: 'invented', source: 'invented' };
  const visits = await analyseVisits(extract, VisitsQuestion.parse({ cohort: { role: 'humeral_stem', designs: ['standard_stem', 'short_stem', 'long_stem'] }, importantDifference }));
  const view = { names: true, marked: { kind: 'hospital' as const, id }, benchmarkSet: null };
  return () => ({
    comparison: comparisonReport(main, View.parse({})), 'a sparse comparison': comparisonReport(sparse, View.parse({})), chapters: chapters.map((make) => make()),
    'all hospitals': unitsReport(all, view), 'one hospital': unitReport(one, all, view), screening: screeningReport(screened), 'one model': explainedReport(explained, { names: true }),
    'a chart': chart.status === 'ok' ? monitoringReport(chart) : null, 'all charts': charts.status === 'ok' ? overviewReport(charts, { names: true, marked: id }) : null, visits: visitsReport(visits),
  });
}

let extract: LoadedExtract, make: () => Readonly<Record<string, unknown>>;
beforeAll(async () => { extract = await loadSample(); make = await reportsOf(extract); }, 300_000);
afterAll(() => extract.database.close());

function within<T>(value: unknown, is: (value: object) => value is T & object, found: T[] = []): T[] {
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value)) return found;
  if (is(value)) found.push(value);
  for (const part of Object.values(value)) within(part, is, found);
  return found;
}
const isTable = (value: object): value is ProtectedTable => 'protected' in value;
const isSteps = (value: object): value is TimeFigure => 'shape' in value && value.shape === 'steps';

const isCount = ({ value, basis }: Cell) => value !== undefined && basis?.[0] === value;
const isHidden = ({ outside, outsideValue }: Cell) => outside !== undefined && outsideValue === undefined;

/** What the counts of a block and column add up to, told elsewhere where it is not small itself. */
function pinnedIn({ rows, columns, blocksAddUp }: ProtectedTable, smallest: number): readonly string[] {
  if (blocksAddUp !== true) return [];
  return [...new Set(rows.map(({ block }) => block))].flatMap((block) => columns.flatMap(({ label }, c) => {
    const cells = rows.filter((row) => row.block === block).flatMap(({ cells: all }) => (all[c] !== undefined && isCount(all[c]) ? [all[c]] : []));
    const counts = cells.map(({ value }) => value ?? 0), total = counts.reduce((sum, n) => sum + n, 0), positions = [...counts.keys()];
    if (total < smallest) return [];
    const hidden = new Set(positions.filter((i) => isHidden(cells[i]!))), small = positions.filter((i) => counts[i]! > 0 && counts[i]! < smallest);
    return [...audit({ counts, sums: [{ plus: positions, minus: [], total }] }, hidden, small)].filter(([, interval]) => widthOf(interval) < smallest).map(([i]) => `${block ?? ''}, ${label}: ${counts.join(' ')} hides ${[...hidden].join(' ')}, gives ${i}`);
  }));
}

const policies: readonly Policy[] = [{ smallest: 5, rounding: 1 }, { smallest: 10, rounding: 1 }, { smallest: 5, rounding: 5 }];

describe.each(policies)('with $smallest as the smallest count that leaves, rounded to $rounding', (policy) => {
  let made: readonly (readonly [string, unknown])[] | null = null;
  const reports = () => (made ??= Object.entries(under(policy, make)));
  const small = (n: number) => n > 0 && n < policy.smallest;

  it('no table tells a small count, or a number made from one', () => {
    let told = 0, withheld = 0;
    for (const [name, report] of reports()) {
      for (const table of within(report, isTable)) {
        for (const { cells } of table.rows) for (const cell of cells) {
          if (isHidden(cell)) { ++withheld; expect(cell.outside, `${name}, ${table.name}`).not.toMatch(/^\d/); continue; }
          ++told;
          expect(cell.basis?.some(small) ?? false, `${name}, ${table.name}: ${cell.text}`).toBe(false);
        }
      }
    }
    expect(told).toBeGreaterThan(3000);
    expect(withheld).toBeGreaterThan(100);
  });

  it('no block of counts that add up gives one away', () => {
    for (const [name, report] of reports()) for (const table of within(report, isTable)) expect(pinnedIn(table, policy.smallest), `${name}, ${table.name}`).toEqual([]);
  });

  it('no two numbers to date that are told differ by few', () => {
    const steps = ['cumulative-percent-revision', 'percent-revised', 'revision-and-death'];
    let compared = 0;
    for (const [name, report] of reports()) for (const table of within(report, isTable).filter((one) => steps.includes(one.name))) {
      for (const [c, column] of [...table.columns.entries()].filter(([, { label }]) => ['Revised', 'Died unrevised', 'Other revision'].includes(label))) {
        for (const group of new Set(table.rows.map((row) => row.group))) {
          const told = table.rows.filter((row) => row.group === group).map(({ cells }) => cells[c]!).filter((cell) => isCount(cell) && !isHidden(cell));
          const counts = told.map(({ value }) => value ?? 0).sort((a, b) => a - b);
          counts.forEach((count, at) => { ++compared; expect(small(count - (counts[at - 1] ?? 0)), `${name}, ${table.name}, ${column.label}: ${counts.join(' ')}`).toBe(false); });
        }
      }
    }
    expect(compared).toBeGreaterThan(10);
  });

  it('files say what was withheld and rounded, and hold no identifier', () => {
    for (const [name, report] of reports()) for (const table of within(report, isTable)) {
      const csv = toCsv(table, []);
      expect(csv).toContain(`Counts from 1 to ${policy.smallest - 1}`);
      if (policy.rounding > 1) expect(csv).toContain('multiples of 5');
      expect(csv.match(/\b[HSP]\d{3,}\b/g) ?? [], `${name}, ${table.name}`).toEqual([]);
    }
  });

  it('steps on paper are read at month ends', () => {
    const figures = reports().flatMap(([, report]) => within(report, isSteps)), months = new Set(monthEnds(40 * 365.25));
    expect(figures.length).toBeGreaterThan(3);
    for (const { paper } of figures) for (const { points } of paper) for (const { day } of points) expect(months.has(day), String(day)).toBe(true);
  });
});

it('rounded counts leave as multiples, and numbers made from them are coarser', () => {
  for (const [name, report] of Object.entries(under({ smallest: 5, rounding: 5 }, make))) for (const table of within(report, isTable)) for (const { cells } of table.rows) for (const cell of cells) {
    if (cell.value === undefined || !isCount(cell) || isHidden(cell)) continue;
    expect((cell.outsideValue ?? NaN) % 5, `${name}, ${table.name}: ${cell.text}`).toBe(0);
  }
});
