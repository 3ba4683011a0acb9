import type { FirstAnswer } from '../analysis/result';
import type { View } from '../contract/view';
import { logRankWords, type ComparisonReport } from './comparisonReport';
import { percentTable, ratesTable } from './comparisonTables';
import { curveFigure } from './curveFigure';
import { curvesTable } from './curvesTable';
import { firstForestFigure } from './forestFigure';
import { provenanceOf, settingsLine, sourceLine } from './provenance';
import { protectSmallCounts as guarded } from './smallCounts';

/** How the answer to a question begins: what it has of a whole report stays as it is there, but for what the ratios of the groups are put beside. */
export interface FirstReport extends Pick<ComparisonReport, 'question' | 'groups' | 'horizonYears' | 'reference' | 'source' | 'settings' | 'provenance' | 'logRank'> {
  readonly status: 'first';
  readonly figures: Pick<ComparisonReport['figures'], 'curves' | 'forest'>;
  readonly tables: Pick<ComparisonReport['tables'], 'percent' | 'curves' | 'rates' | 'ratios'>;
}

export const firstReport = (first: FirstAnswer, view: View): FirstReport => ({
  status: 'first',
  question: first.question,
  groups: first.groups.map(({ key, label }) => ({ key, label })),
  horizonYears: first.question.horizonYears,
  reference: first.reference,
  source: sourceLine(first.source),
  settings: settingsLine(first),
  provenance: provenanceOf(first),
  logRank: logRankWords(first),
  figures: { curves: curveFigure(first, view), forest: firstForestFigure(first) },
  tables: { percent: guarded(percentTable(first)), curves: guarded(curvesTable(first)), rates: guarded(ratesTable(first)), ratios: [] },
});
