import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ScreeningQuestion } from '@/lib/contract/screeningQuestion';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import type { Block } from '@/lib/reports/blocks';
import { toCsv } from '@/lib/reports/csv';
import { explainedReport } from '@/lib/reports/screening/explainedReport';
import { screeningReport, type ScreeningReport } from '@/lib/reports/screening/screeningReport';
import { EvidenceSchema } from '@/lib/review/evidenceSchema';
import { explainComponent } from '@/lib/screening/components/explainComponent';
import { screenComponents } from '@/lib/screening/components/screenComponents';
import { loadSample } from '../../analysis/sampleExtract';
import { estimated } from '../../stats/designs';

// What was planted is in sample-registry/truth.json; everything in the sample is invented.
const planted = ['G-FLU-02', 'H-SHO-02'];

const wordsOf = (blocks: readonly Block[]): string => blocks.flatMap((block) => (block.kind === 'words' ? block.sentences.map(({ text }) => text) : [])).join(' ');
const tablesOf = (blocks: readonly Block[]) => blocks.flatMap((block) => ('table' in block ? [block.table] : []));

describe('the screening of the sample registry in words and tables', () => {
  let extract: LoadedExtract;
  beforeAll(async () => { extract = await loadSample(); });
  afterAll(() => extract.database.close());
  const report = async (asked: object): Promise<ScreeningReport> => screeningReport(estimated(await screenComponents(extract, ScreeningQuestion.parse(asked))));
  const section = ({ sections }: ScreeningReport, id: string) => sections.find((s) => s.id === id)!;

  it('lists the flagged with every condition, its bound and what was found, and every other model too', async () => {
    const found = await report({ roles: ['glenoid', 'humeral_stem'] });
    const conditions = tablesOf(section(found, 'flagged').blocks).find(({ name }) => name.includes('condition') || name.includes('criteria'))!;
    for (const model of planted) expect(conditions.rows.map(({ cells }) => cells[0]!.text).join()).toContain(model);
    const passed = tablesOf(section(found, 'passed').blocks)[0]!;
    expect(passed.rows.length + planted.length).toBe(found.models.length);
    expect(wordsOf(section(found, 'in-words').blocks)).toMatch(/asks for review/);
    // 70 of 37.8 are 1.85: the model counts among what is expected, and not among the others that it is 2.27 times as high as
    expect(wordsOf(section(found, 'flagged').blocks)).toContain('where 37.8 would be expected were it like all of its kind, itself among them: 2.27 (95% CI 1.68–3.05) times the rate of the 4,758 procedures with others');
    expect(found.settings).toMatch(/look 1/);
  });

  it('keeps a signal of an earlier look, whatever the model does now', async () => {
    const found = await report({ roles: ['glenoid'], look: 2, earlier: [{ model: 'G-PEG-01', look: 1 }, { model: 'G-GONE-9', look: 1 }] });
    const carried = section(found, 'carried-forward').blocks;
    expect(tablesOf(carried)[0]!.rows.flatMap(({ cells }) => cells.map(({ text }) => text)).join(' ')).toMatch(/G-PEG-01.*flagged at look 1/);
    expect(wordsOf(carried)).toMatch(/G-GONE-9 \(look 1\)/);
  });

  it('says what lies behind a flag without naming a hospital or surgeon in files and cases', async () => {
    const explained = estimated(explainedReport(await explainComponent(extract, ScreeningQuestion.parse({}), { model: 'G-FLU-02', class: null }), { names: true }));
    const files = tablesOf(explained.blocks).map((table) => toCsv(table, explained.provenance)).join('\n');
    expect(files).not.toMatch(/\b(H\d{3}|S\d{4})\b/);
    expect(JSON.stringify(explained.evidence)).not.toMatch(/\b(H\d{3}|S\d{4})\b/);
    expect(EvidenceSchema.safeParse(explained.evidence).success).toBe(true);
    expect(files).toContain('Others’ ratio');
  });

  it('says how sure it is of the rest, once a partner that is flagged itself is left out', async () => {
    const explained = estimated(explainedReport(await explainComponent(extract, ScreeningQuestion.parse({}), { model: 'H-SHO-02', class: null }), { names: false }));
    // exact limits of 158, by poisson.test(158) of R 4, over what is expected
    expect(wordsOf(explained.blocks)).toContain('without it 158 were revised where 73.3 were expected: 2.15 (95% CI 1.83–2.52) times as many.');
  });
});
