import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { VisitsQuestion } from '@/lib/contract/visitsQuestion';
import { audit, widthOf } from '@/lib/disclosure/audit';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { Block } from '@/lib/reports/blocks';
import type { ProtectedTable } from '@/lib/reports/table';
import { visitsReport, type VisitsReport } from '@/lib/reports/visits/visitsReport';
import { analyseVisits } from '@/lib/visits/analyseVisits';
import { loadSample } from '../../analysis/sampleExtract';

// Long stems are few in the sample registry: what is said of them must not rest on a handful, and must not give a handful away.

const importantDifference = { value: 30, instrument: 'TS-100', anchor: 'invented anchor', population: 'invented population', source: 'invented source' };
let extract: LoadedExtract, report: VisitsReport, plain: VisitsReport;
async function reported(asked: object): Promise<VisitsReport> {
  const made = visitsReport(await analyseVisits(extract, VisitsQuestion.parse({ cohort: { role: 'humeral_stem', designs: ['standard_stem', 'short_stem', 'long_stem'] }, ...asked })));
  if (made.status !== 'ok') throw new Error(made.reason);
  return made;
}
beforeAll(async () => {
  extract = await loadSample();
  report = await reported({ importantDifference, instrument: 'TS-100' });
  plain = await reported({ measures: ['score_total'] });
}, 120_000);
afterAll(() => extract.database.close());

const flat = (blocks: readonly Block[]): readonly Block[] => blocks.flatMap((block) => (block.kind === 'choice' ? block.options.flatMap((option) => flat(option.blocks)) : [block]));
const blocksOf = ({ sections }: VisitsReport, section?: string) => sections.filter(({ id }) => section === undefined || id === section).flatMap(({ blocks }) => flat(blocks));
const tablesOf = (of: VisitsReport): readonly ProtectedTable[] => blocksOf(of).flatMap((block) => ('table' in block ? [block.table] : []));
const wordsOf = (of: VisitsReport, section: string): string => blocksOf(of, section).flatMap((block) => (block.kind === 'words' ? block.sentences.map(({ text }) => text) : [])).join(' ');

/** Columns that sum up along a row: the whole and its parts; `rest`: what the parts leave is a count of people too. */
const sums: readonly { readonly table: RegExp; readonly whole: string; readonly parts: RegExp; readonly rest: boolean }[] = [
  { table: /^visits$/, whole: 'Due', parts: /^(Seen|Missed|Not on record)$/, rest: false },
  { table: /^sign-(?!difference)/, whole: 'Assessed', parts: /^With the sign$/, rest: true },
  { table: /^zones-/, whole: 'Read', parts: /^With the sign$/, rest: true },
  { table: /^grades-(?!compared)/, whole: 'Assessed', parts: /^(?!Visit|Group|Assessed)/, rest: false },
  { table: /^first-counts-/, whole: 'Assessed', parts: /^(At the first visit|Between two visits|Never)$/, rest: false },
  { table: /^important-/, whole: 'Both visits', parts: /^Gained it$/, rest: true },
];

describe('what leaves the page of visits', () => {
  it.each(sums)('no count of a row gives another away: $table', ({ table: name, whole, parts, rest }) => {
    let rows = 0;
    for (const { name: of, columns, rows: all } of tablesOf(report).filter((table) => name.test(table.name))) {
      for (const { cells } of all) {
        const at = [...columns.keys()].filter((c) => columns[c]!.label === whole || parts.test(columns[c]!.label)).sort((a, b) => Number(columns[b]!.label === whole) - Number(columns[a]!.label === whole));
        const counts = at.map((c) => cells[c]!.value ?? NaN), isHidden = at.map((c) => cells[c]!.outside !== undefined && cells[c]!.outsideValue === undefined);
        const left = counts[0]! - counts.slice(1).reduce((sum, n) => sum + n, 0), last = counts.length;
        if (rest) { counts.push(left); isHidden.push(true); } else expect(left, of).toBe(0);
        const hidden = new Set([...counts.keys()].filter((i) => isHidden[i])), small = [...hidden].filter((i) => counts[i]! > 0 && counts[i]! < 5);
        const given = [...audit({ counts, sums: [{ plus: [0], minus: [...counts.keys()].slice(1), total: 0 }] }, hidden, small)].filter(([, interval]) => widthOf(interval) < 5);
        expect(given.map(([i]) => `${i === last ? 'the rest' : columns[at[i]!]!.label} in ${cells.map(({ text }) => text).join(' | ')}`), of).toEqual([]);
        ++rows;
      }
    }
    expect(rows).toBeGreaterThan(5);
  });

  it('a drawing of zones tells in how many they were read, but not where they are few', () => {
    const panels = blocksOf(report, 'humerus').flatMap((block) => (block.kind === 'zones' ? block.figure.panels.map((panel) => ({ ...panel, name: block.figure.name })) : []));
    expect(panels.find(({ name, label }) => name === 'zones-thinning-10y' && label === 'Long stem')).toMatchObject({ read: '7 read', readStaysInside: false });
    for (const { zones, read, readStaysInside } of panels) {
      expect(readStaysInside).toBe(Number(read.split(/[– ]/)[0]!.replace(',', '')) < 5);
      for (const { text, shade } of zones) if (text !== '–') expect(shade).toBeCloseTo(Number(text) / 100, 2);
    }
  });
});

describe('what is said of visits', () => {
  it('rests on twenty of each group where a visit has them, although a later one was assessed', () => {
    const { rows } = tablesOf(report).find(({ name }) => name === 'sign-stem_adaptation')!;
    expect(rows.filter(({ cells }) => cells[0]!.text === '10 years').map(({ cells }) => cells[4]!.value)).toEqual([217, 49, 10]);
    expect(wordsOf(report, 'humerus')).toContain('At 5 years: 52 of 72 assessed with “Long stem”');
    expect(wordsOf(report, 'humerus')).not.toContain('At 10 years: 9 of 10');
  });

  it('rests on a visit with twenty of each group that is ever assessed: glenoid bone is not read behind a baseplate', async () => {
    const designs = visitsReport(await analyseVisits(extract, VisitsQuestion.parse({ measures: ['glenoid_lucency', 'flexion_deg'] })));
    if (designs.status !== 'ok') throw new Error(designs.reason);
    expect(wordsOf(designs, 'glenoid')).toContain('At 5 years: 24 of 56 assessed with “Metal-backed with polyethylene insert”');
    const glance = tablesOf(designs).find(({ name }) => name === 'signs-at-a-glance')!;
    expect(glance.rows[0]!.cells.map(({ text }) => text).slice(1, 4)).toEqual(['5 years', '–', expect.stringMatching(/^\d+\.\d% \([\d.]+–[\d.]+\) of 448$/)]);
    expect(wordsOf(designs, 'at-a-glance')).toContain('At these visits nobody with “Baseplate for a glenosphere” was assessed for any of these signs, and there no other group can be held against it: some signs are read of some implants only.');

    // baseplates gain most and still end lower: reverse totals begin lower
    expect(wordsOf(designs, 'motion')).toMatch(/the change since before the procedure is 59\.5 degrees with “Baseplate for a glenosphere”/);
    expect(wordsOf(designs, 'motion')).toMatch(/“All-polyethylene pegged” against “Baseplate for a glenosphere”: 2\.1 degrees \(95% CI 0\.2 to 4\.1\), adjusted for the value before the procedure/);
    expect(blocksOf(designs, 'motion')).toContainEqual(expect.objectContaining({ kind: 'caution', text: expect.stringContaining('Where groups began unlike the two can point opposite ways') as string }));
  });

  it('tells the change of a score, and who gained the important difference only with where it comes from', () => {
    const important = tablesOf(report).find(({ name }) => name === 'important-score_total')!;
    expect(important.method).toContain('TS-100; anchor: invented anchor; population: invented population; source: invented source');
    expect(wordsOf(report, 'pain-and-score')).toMatch(/At 5 years, the change since before the procedure is 4\d\.\d points with “Standard stem” \(95% CI [\d.]+ to [\d.]+; [\d,]+ assessed both times\)/);
    expect(wordsOf(report, 'pain-and-score')).toMatch(/At 5 years, \d\d\.\d% with “Short stem” gained the important difference of 30\.0 or more/);
    expect(tablesOf(plain).some(({ name }) => name.startsWith('important'))).toBe(false);
    expect(wordsOf(plain, 'pain-and-score')).not.toContain('important difference');
  });

  it('says how many of those at risk a landmark leaves out, and why', () => {
    const [forest] = blocksOf(report, 'early-warning').flatMap((block) => (block.kind === 'forest' ? [block.figure] : []));
    const year = forest!.parts.find(({ key }) => key === 'stem_adaptation')!.rows.find(({ key }) => key === 'stem_adaptation:1')!;
    expect(year.detail).toMatch(/^signs seen by then; without 2,671 of [\d,]+, not yet assessed$/);
  });

  it('marks a ratio that rests on fewer than five revised, with the sign or without, drawn and in the table', () => {
    const [forest] = blocksOf(report, 'early-warning').flatMap((block) => (block.kind === 'forest' ? [block] : []));
    const drawn = forest!.figure.parts.flatMap(({ rows }) => rows), listed = forest!.table.rows;
    expect(listed).toHaveLength(drawn.length);
    let few = 0;
    listed.forEach(({ cells }, i) => {
      const [without, having] = [cells[3]!.value!, cells[5]!.value!], isFew = drawn[i]!.numbers !== null && Math.min(without, having) < 5;
      expect(/Rests on fewer than 5 revised with(out it| the sign)/.test(drawn[i]!.detail ?? ''), cells.map(({ text }) => text).join(' | ')).toBe(isFew);
      expect(cells.at(-1)!.text.startsWith('Rests on fewer than 5 revised')).toBe(isFew);
      few += Number(isFew);
    });
    expect(few).toBeGreaterThan(0);
    expect(few).toBeLessThan(drawn.length);
  });
});
