import type { AnsweredCurves, AnsweredRatios } from '../analysis/result';
import type { View } from '../contract/view';
import { logRankWords, type ComparisonReport } from './comparisonReport';
import { percentTable, ratesTable } from './comparisonTables';
import { curveFigure } from './curveFigure';
import type { ForestFigure } from './forest';
import { firstForestFigure } from './forestFigure';
import { provenanceOf, settingsLine, sourceLine } from './provenance';
import { protectSmallCounts as guarded } from './smallCounts';

/** How the answer to a question begins: what it has of a whole report stays as it is there, but for what the ratios of the groups are put beside. */
export interface FirstReport extends Pick<ComparisonReport, 'question' | 'groups' | 'horizonYears' | 'reference' | 'source' | 'settings' | 'provenance'> {
  readonly status: 'first';
  readonly figures: Pick<ComparisonReport['figures'], 'curves'>;
  readonly tables: Pick<ComparisonReport['tables'], 'percent' | 'rates'>;
  /** Null: the groups are not compared yet. */
  readonly ratios: FirstRatios | null;
}

export interface FirstRatios extends Pick<ComparisonReport, 'logRank'> {
  readonly status: 'ratios';
  readonly forest: ForestFigure;
}

export const firstReport = (answered: AnsweredCurves, view: View): FirstReport => ({
  status: 'first',
  question: answered.question,
  groups: answered.groups.map(({ key, label }) => ({ key, label })),
  horizonYears: answered.question.horizonYears,
  reference: answered.reference,
  source: sourceLine(answered.source),
  settings: settingsLine(answered),
  provenance: provenanceOf(answered),
  figures: { curves: curveFigure(answered, view) },
  tables: { percent: guarded(percentTable(answered)), rates: guarded(ratesTable(answered)) },
  ratios: null,
});

export const firstRatios = (answered: AnsweredRatios): FirstRatios => ({ status: 'ratios', logRank: logRankWords(answered), forest: firstForestFigure(answered) });

/** The whole report after it has begun: what is drawn already is the same object and need not be drawn again. */
export function continued({ provenance, figures, tables }: FirstReport, whole: ComparisonReport): ComparisonReport {
  return { ...whole, provenance, figures: { ...whole.figures, ...figures }, tables: { ...whole.tables, ...tables } };
}
