import { describe, expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import { answerChapter } from '@/lib/analysis/chapters';
import { openingQuestion } from '@/lib/contract/openingQuestion';
import { View } from '@/lib/contract/view';
import type { Block } from '@/lib/reports/blocks';
import { reportChapter } from '@/lib/reports/chapters';
import { readingOrder, sectionsOf } from '@/lib/reports/chapters/sections';
import { BlockSchema } from '@/lib/review/blockSchema';
import { frozen, thawed } from '@/lib/review/evidenceSchema';
import { loadSample } from '../analysis/sampleExtract';
import { evidence } from './story';

const table = (value: number): Block => ({
  kind: 'table', folded: false,
  table: { name: 't', title: 'T', method: 'm', protected: true, columns: [{ label: 'A', numeric: true }], rows: [{ cells: [{ text: '–', value, basis: [3], outside: '<5' }] }] },
});

describe('what a page draws comes back from a file as it was', () => {
  it('every chapter of the answer on the sample registry', { timeout: 120_000 }, async () => {
    const extract = await loadSample();
    const analysis = await analyse(extract, openingQuestion);
    if (analysis.status === 'empty') throw new Error(analysis.reason);
    const kinds = new Set<string>();
    for (const name of readingOrder(sectionsOf(analysis))) {
      const result = await answerChapter(extract, openingQuestion, name);
      if (result.status === 'empty') throw new Error(result.reason);
      const { blocks, ratios = [] } = reportChapter(analysis, name, result, View.parse({ deaths: 'both' }));
      const all = [...blocks, ...ratios];
      for (const { kind } of all.flatMap((block) => (block.kind === 'choice' ? [block, ...block.options.flatMap((option) => option.blocks)] : [block]))) kinds.add(kind);
      expect(thawed(frozen({ ...evidence, blocks: all })).blocks, name).toEqual(all);
    }
    await extract.database.close();
    expect([...kinds].sort()).toEqual(['balance', 'caution', 'choice', 'forest', 'heading', 'overTime', 'panels', 'stack', 'table', 'words']);
  });

  it.each([NaN, Infinity, -Infinity, 0.1 + 0.2])('a number of %s', (value) => {
    const blocks = [table(value)];
    expect(thawed(frozen({ ...evidence, blocks })).blocks).toEqual(blocks);
  });
});

describe('a block that is not exactly what a page draws is refused', () => {
  it.each([
    { what: 'a kind that nobody draws', block: { kind: 'html', text: '<script>' } },
    { what: 'a field too many', block: { kind: 'heading', text: 'A', dangerouslySetInnerHTML: { __html: '<b>' } } },
    { what: 'words that are a list', block: { kind: 'heading', text: ['A'] } },
    { what: 'a number written as a word', block: { ...table(1), table: { rows: [{ cells: [{ text: '1', value: 'one' }] }] } } },
    { what: 'a table that says of no small count what stands in its place', block: { kind: 'table', folded: false, table: { name: 't', title: 'T', method: 'm', columns: [], rows: [] } } },
    { what: 'a choice inside a choice', block: { kind: 'choice', label: 'A', options: [{ label: 'B', blocks: [{ kind: 'choice', label: 'C', options: [] }] }] } },
  ])('$what', ({ block }) => {
    expect(BlockSchema.safeParse(block).success).toBe(false);
  });
});
