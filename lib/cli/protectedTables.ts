import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { chapterNames, type ChapterName, type Chapters } from '../analysis/chapters';
import type { Analysis } from '../analysis/result';
import { View } from '../contract/view';
import { under, type Policy } from '../disclosure/policy';
import type { Block } from '../reports/blocks';
import { reportChapter } from '../reports/chapters';
import { comparisonReport } from '../reports/comparisonReport';
import { toCsv, type Provenance } from '../reports/csv';
import type { ProtectedTable } from '../reports/table';
import type { Answer } from './extractForm';

interface Out { readonly table: ProtectedTable; readonly provenance: Provenance }

const tablesOf = (blocks: readonly Block[]): readonly ProtectedTable[] =>
  blocks.flatMap((block) => (block.kind === 'choice' ? block.options.flatMap((option) => tablesOf(option.blocks)) : 'table' in block ? [block.table] : []));

const ofChapter = <N extends ChapterName>(analysis: Analysis, name: N, result: Chapters[N]): readonly Out[] => {
  const { blocks, curves, ratios = [], provenance } = reportChapter(analysis, name, result, View.parse({}));
  return [...tablesOf(blocks), ...(curves === undefined ? [] : [curves.table]), ...tablesOf(ratios)].map((table) => ({ table, provenance }));
};

/** Every table of the answer, as the page would let it leave. */
function tablesUnder(answer: Answer): readonly Out[] {
  if (answer.status === 'empty') return [];
  const report = comparisonReport(answer, View.parse({}));
  const main = report.status === 'empty' ? [] : Object.values(report.tables).flat().map((table): Out => ({ table, provenance: report.provenance }));
  return [...main, ...chapterNames.flatMap((name) => { const result = answer.chapters[name]; return result === undefined ? [] : ofChapter(answer, name, result); })];
}

/** Writes the tables of the answer into a folder, small counts protected. Gives the files, in their order. */
export async function writeProtected(answer: Answer, folder: string, policy: Policy): Promise<readonly string[]> {
  const files = under(policy, () => new Map(tablesUnder(answer).map(({ table, provenance }) => [`${table.name}.csv`, toCsv(table, provenance)])));
  await mkdir(folder, { recursive: true });
  for (const [name, text] of files) await writeFile(join(folder, name), text);
  return [...files.keys()].map((name) => join(folder, name));
}
