import type { ChapterName, Chapters } from '../../analysis/chapters';
import type { Analysis } from '../../analysis/result';
import type { View } from '../../contract/view';
import { chapterReport, type ChapterReport, type Content } from './chapterReport';
import { competingRisksContent } from './competingRisks';

const contents: { readonly [N in ChapterName]?: (analysis: Analysis, result: Chapters[N], view: View) => Content } = {
  competingRisks: competingRisksContent,
};

/** A chapter of the answer, worked out: words, tables and figures. */
export function reportChapter<N extends ChapterName>(analysis: Analysis, name: N, result: Chapters[N], view: View): ChapterReport {
  const content = contents[name];
  return chapterReport(analysis, name, result, content === undefined ? { blocks: [] } : content(analysis, result, view));
}
