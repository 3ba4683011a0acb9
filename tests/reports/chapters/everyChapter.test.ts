import { beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import { answerChapter, chapterNames, type ChapterName } from '@/lib/analysis/chapters';
import type { Analysis } from '@/lib/analysis/result';
import { openingQuestion } from '@/lib/contract/openingQuestion';
import { Question } from '@/lib/contract/question';
import { View } from '@/lib/contract/view';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { reportChapter } from '@/lib/reports/chapters';
import type { Block } from '@/lib/reports/blocks';
import type { ChapterReport } from '@/lib/reports/chapters/chapterReport';
import { readingOrder, sectionsOf } from '@/lib/reports/chapters/sections';
import type { ProtectedTable } from '@/lib/reports/table';
import { loadSample } from '../../analysis/sampleExtract';

// Every chapter of questions that meet every kind of dead end, from the committed sample registry: all that a reader could see is looked at.

const questions: Readonly<Record<string, object>> = {
  'pegs and keels': {},
  'three designs, one with a ratio that changes, and ASA often not recorded': { groups: ['all_poly_pegged', 'all_poly_keeled', 'metal_backed'], adjust: ['age', 'sex', 'asa', 'bmi'] },
  'one design alone': { groups: ['all_poly_keeled'], reference: null },
  'infection only, where all else is another revision': { outcome: { reasons: ['infection'] }, adjust: [], cluster: 'none' },
  'a month at few hospitals': { cohort: { joint: 'shoulder', role: 'glenoid', firstYear: 2023, minAge: 55, maxAge: 58 }, groups: [], reference: null, horizonYears: 1, atYears: [0.25, 1] },
  'models with few procedures': { cohort: { joint: 'shoulder', role: 'glenoid', classes: ['anatomic_total'], indications: ['fracture_sequelae'] }, compare: 'model', groups: [], reference: null, adjust: ['age', 'bmi'], cluster: 'hospital' },
};

interface Answered { readonly analysis: Analysis; readonly reports: ReadonlyMap<ChapterName, ChapterReport> }
const answers = new Map<string, Answered>();

async function answered(extract: LoadedExtract, part: object, view: View): Promise<Answered> {
  const question = Question.parse({ ...openingQuestion, ...part });
  const analysis = await analyse(extract, question);
  if (analysis.status === 'empty') throw new Error(analysis.reason);
  const reports = new Map<ChapterName, ChapterReport>();
  for (const name of readingOrder(sectionsOf(analysis))) {
    const result = await answerChapter(extract, question, name);
    if (result.status === 'empty') throw new Error(result.reason);
    reports.set(name, reportChapter(analysis, name, result, view));
  }
  return { analysis, reports };
}

beforeAll(async () => {
  const extract = await loadSample();
  for (const [name, part] of Object.entries(questions)) answers.set(name, await answered(extract, part, View.parse({ deaths: 'both' })));
  await extract.database.close();
}, 120_000);

/** Blocks with those inside choices. */
const flat = (blocks: readonly Block[]): readonly Block[] => blocks.flatMap((block) => (block.kind === 'choice' ? [block, ...block.options.flatMap((o) => flat(o.blocks))] : [block]));
const blocksOf = ({ blocks, ratios = [] }: ChapterReport) => flat([...blocks, ...ratios]);
const tablesOf = (report: ChapterReport): readonly ProtectedTable[] => [...blocksOf(report).flatMap((block) => ('table' in block ? [block.table] : [])), ...(report.curves ? [report.curves.table] : [])];

/** Every text that can be drawn. */
function texts(value: unknown): readonly string[] {
  if (typeof value === 'string') return [value];
  if (Array.isArray(value)) return value.flatMap(texts);
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(texts) : [];
}

/** Words that are printed, copied or written into files whatever they say. */
const outside = (report: ChapterReport): readonly string[] => [
  report.basis, ...report.notes, ...report.methods, ...report.provenance.map(({ text }) => text), ...tablesOf(report).map(({ method }) => method),
  ...blocksOf(report).flatMap((block) => {
    if (block.kind === 'words') return block.sentences.filter(({ staysInside }) => !staysInside).map(({ text }) => text);
    if (block.kind !== 'forest') return [];
    return block.figure.parts.flatMap(({ heading, note, rows }) => [heading, note ?? '', ...rows.flatMap((row) => [row.label, row.detail ?? '', ...(row.staysInside ? [] : [row.text, row.counts])])]);
  }),
];

it('says of percentages with the same case mix how sure they are', () => {
  const report = answers.get('pegs and keels')!.reports.get('sameCaseMix')!;
  // as in the table beside it, which tests/reference/sampleDifference.R checks
  expect(texts(report.blocks).find((text) => text.includes('with the case mix of all.'))).toMatch(
    /5\.1% \(95% CI 4\.5–5\.8\) of “All-polyethylene pegged” \(as it is 5\.2%\) and 7\.8% \(95% CI 6\.7–9\.0\) of “All-polyethylene keeled” \(as it is 7\.6%\)/);
});

describe.each(Object.keys(questions))('%s', (name) => {
  const reports = () => [...answers.get(name)!.reports.values()];

  it('says nothing that is no word or number', () => {
    for (const report of reports()) {
      for (const text of texts(report)) expect(text, report.name).not.toMatch(/NaN|undefined|null|Infinity|\[object|\.\.|\s\.|“”|\( |-?\b∞/);
    }
  });

  it('has a cell for every column, and columns that can be told apart', () => {
    for (const table of reports().flatMap(tablesOf)) {
      expect(new Set(table.columns.map(({ label }) => label)).size, table.name).toBe(table.columns.length);
      for (const row of table.rows) expect(row.cells, `${table.name}: ${row.cells[0]?.text ?? ''}`).toHaveLength(table.columns.length);
    }
  });

  it('names every table and row of a forest but once', () => {
    for (const report of reports()) {
      for (const block of blocksOf(report)) {
        if (block.kind !== 'forest') continue;
        const keys = block.figure.parts.flatMap(({ key, rows }) => [key, ...rows.map((row) => `row ${row.key}`)]);
        expect(new Set(keys).size, `${report.name}: ${keys.join(' | ')}`).toBe(keys.length);
      }
    }
  });

  it('names no small count of people in what may leave the page', () => {
    for (const report of reports()) {
      const ratesLeftOut = (text: string) => text.replaceAll(/in every \d+ procedures|\(\d+(?: and \d+)? procedures a year\)/g, '');
      for (const text of outside(report).map(ratesLeftOut)) expect(text, report.name).not.toMatch(/(?<![\d.,–-])[1-4] (?:of|procedure|revision|revised|death|patient|in )|\([1-4] for \d|n = [1-4]\b/);
    }
  });

  it('can be sent from the worker to the page', () => {
    for (const report of reports()) expect(structuredClone(report)).toEqual(report);
  });

  it('draws within its axes what it draws, but for limits', () => {
    for (const block of reports().flatMap(blocksOf)) {
      for (const figure of block.kind === 'overTime' ? [block.figure] : block.kind === 'panels' ? block.panels : []) {
        const [from, to] = [figure.valueTicks[0]!, figure.valueTicks.at(-1)!];
        for (const { value } of figure.lines.flatMap(({ points }) => points)) {
          if (value === null) continue;
          expect(value, figure.title).toBeGreaterThanOrEqual(from);
          expect(value, figure.title).toBeLessThanOrEqual(to + 1e-9);
        }
      }
    }
  });
});

it('places every chapter, and once', () => {
  const { analysis } = answers.get('pegs and keels')!;
  expect([...readingOrder(sectionsOf(analysis))].sort()).toEqual([...chapterNames].sort());
});

it('begins with the ratio over time where one ratio would mislead', () => {
  const ids = (name: string) => sectionsOf(answers.get(name)!.analysis).map(({ id }) => id);
  expect(ids('pegs and keels')[0]).toBe('difference');
  expect(ids('three designs, one with a ratio that changes, and ASA often not recorded')[0]).toBe('ratio-over-time');
});
