import type { ChapterName, Chapters } from '../../analysis/chapters';
import type { Analysis } from '../../analysis/result';
import type { View } from '../../contract/view';
import { chapterReport, type ChapterReport, type Content } from './chapterReport';
import { clusteringContent } from './clustering';
import { competingRisksContent } from './competingRisks';
import { differenceContent } from './difference';
import { missingDataContent } from './missingData';
import { precisionContent } from './precision';
import { ratioOverTimeContent } from './ratioOverTime';
import { sameCaseMixContent } from './sameCaseMix';
import { sensitivityContent } from './sensitivity';
import { subgroupsContent } from './subgroups';

const contents: { readonly [N in ChapterName]: (analysis: Analysis, result: Chapters[N], view: View) => Content } = {
  competingRisks: competingRisksContent, difference: differenceContent, sameCaseMix: sameCaseMixContent, ratioOverTime: ratioOverTimeContent,
  sensitivity: sensitivityContent, clustering: clusteringContent, missingData: missingDataContent, subgroups: subgroupsContent, precision: precisionContent,
};

/** A chapter of the answer, worked out: words, tables and figures. */
export function reportChapter<N extends ChapterName>(analysis: Analysis, name: N, result: Chapters[N], view: View): ChapterReport {
  return chapterReport(analysis, name, result, contents[name](analysis, result, view));
}
