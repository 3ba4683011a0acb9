import { describe, expect, it } from 'vitest';
import { StudyPlan } from '@/lib/contract/studyPlan';
import { freeze } from '@/lib/planning/frozenPlan';
import { frozenWords } from '@/lib/reports/planning/frozenWords';
import { protocolSheet, type ProtocolSheet } from '@/lib/reports/planning/protocolSheet';
import { suggestedAnalysis } from '@/lib/reports/planning/suggestedAnalysis';

const draft = StudyPlan.parse({
  plan: 1, title: 'Stems', assignment: 'random', arms: [{ label: 'stemless' }, { label: 'short' }, { label: 'long' }], endPoint: { kind: 'proportion', shares: [0.3, 0.5, 0.7] },
  visits: ['before', '1y', '5y'], measures: ['Bone adaptation', 'Score TS-100'], secondary: 'Pain at one year.',
});
const plan = { ...draft, analysis: suggestedAnalysis(draft) };
const loaded = { registry: 'An invented registry', version: 'v1', closingDate: '2024-12-31', fingerprint: 'a'.repeat(64) };
const part = ({ parts }: ProtocolSheet, heading: string): string => parts.find((one) => one.heading === heading)!.blocks
  .map((block) => (block.kind === 'words' ? block.sentences.map(({ text }) => text).join(' ') : block.kind === 'table' ? block.table.rows.map(({ cells }) => cells.map(({ text }) => text).join(' ')).join('; ') : '')).join(' ');

describe('the sheet of a plan, for paper', () => {
  it('has the numbers with those lost allowed for, the visits with their days, the measures and the analysis', () => {
    const sheet = protocolSheet(plan, null);
    expect(part(sheet, 'Primary end point and numbers')).toContain('stemless 30.0% 125 139; short 50.0% 125 139; long 70.0% 125 139'); // 125 by R’s power.prop.test(sig.level = .05 / 3), and a tenth lost
    expect(part(sheet, 'Visits and measures')).toContain('Visits: Before the procedure, 1 year (day 365; 273–547) and 5 years (day 1826; 1278–2738).');
    expect(part(sheet, 'Visits and measures')).toContain('Measured: Bone adaptation and Score TS-100.');
    expect(part(sheet, 'Secondary end points')).toBe('Pain at one year.');
    expect(part(sheet, 'Analysis')).toMatch(/Wilson limits.*Newcombe’s limits.*shared equally.*bounded by the best and the worst/);
    expect(sheet.facts).toContainEqual({ label: 'Standing', text: 'a draft: it may still be changed' });
  });

  it('carries the time, the data and the whole hash of a frozen one', async () => {
    const frozen = await freeze(plan, loaded, new Date('2025-06-01T09:30:00Z'));
    expect(protocolSheet(plan, frozen).facts.slice(2)).toEqual([
      { label: 'Frozen', text: '1 June 2025, 09:30 UTC by the clock of the machine' },
      { label: 'Data loaded then', text: 'An invented registry, version v1, to 31 December 2024' },
      { label: 'Hash of the plan (SHA-256)', text: frozen.hash },
    ]);
  });
});

describe('a frozen plan beside results', () => {
  it.each([
    ['the same data', loaded, 'results on them may have been seen before the plan was fixed'],
    ['later data', { ...loaded, fingerprint: 'b'.repeat(64), closingDate: '2026-12-31' }, 'closed later, on 31 December 2026: the plan was fixed before them'],
    ['other data of that time', { ...loaded, fingerprint: 'c'.repeat(64), closingDate: '2025-01-31' }, 'they may have been known when the plan was fixed'],
  ])('says what it is worth: %s', async (_, now, words) => {
    const frozen = await freeze(plan, loaded, new Date('2025-06-01T09:30:00Z'));
    expect(frozenWords(frozen, now)).toContain(words);
    expect(frozenWords(frozen, now)).toContain(`hash ${frozen.hash.slice(0, 12)}`);
  });
});
