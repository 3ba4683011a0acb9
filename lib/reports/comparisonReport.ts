import type { Analysis, NothingToShow } from '../analysis/result';
import type { Question } from '../contract/question';
import type { View } from '../contract/view';
import { sectionsOf, type Section } from './chapters/sections';
import { comparability } from './cautions';
import { calendarFigure, type CalendarFigure } from './calendarFigure';
import {
  attritionTable, calendarTable, caseMixTable, groupsTable, percentTable, periodsTable, proportionalHazardsTable, ratesTable, ratiosTable,
} from './comparisonTables';
import { curveFigure } from './curveFigure';
import { curvesTable } from './curvesTable';
import type { Provenance } from './csv';
import type { ForestFigure } from './forest';
import { forestFigure, proportionalityWords } from './forestFigure';
import { formatCount, formatDecimal, formatPEquation } from './format';
import { asSentence, reasonWords } from './phrases';
import { plainWords, type Reading } from './plainWords';
import { provenanceOf, settingsLine, sourceLine } from './provenance';
import { guardedCount, protectSmallCounts as guarded } from './smallCounts';
import type { ProtectedTable, ReportTable } from './table';
import type { TimeFigure } from './timeFigure';

/** The answer to a question, ready to be drawn: every word, table and place is worked out. */
export interface ComparisonReport {
  readonly status: 'ok';
  readonly question: Question;
  readonly groups: readonly { readonly key: string; readonly label: string }[];
  readonly horizonYears: number;
  readonly reference: string;
  readonly source: string;
  readonly settings: string;
  readonly provenance: Provenance;
  readonly readings: readonly Reading[];
  readonly comparability: readonly string[];
  readonly notes: readonly string[];
  readonly logRank: string;
  readonly proportionality: string | null;
  readonly figures: { readonly curves: TimeFigure; readonly forest: ForestFigure; readonly calendar: CalendarFigure };
  readonly tables: {
    readonly attrition: ProtectedTable; readonly groups: ProtectedTable; readonly caseMix: ProtectedTable; readonly calendar: ProtectedTable;
    readonly percent: ProtectedTable; readonly curves: ProtectedTable; readonly rates: ProtectedTable;
    readonly ratios: readonly ProtectedTable[];
  };
  readonly sections: readonly Section[]; // what chapters fill
}

export interface EmptyReport {
  readonly status: 'empty';
  readonly reason: string;
  readonly attrition: ProtectedTable;
}

export const logRankWords = ({ logRank }: Pick<Analysis, 'logRank'>): string => {
  if (logRank.status === 'notEstimable') return `The log-rank test can't be made: ${reasonWords(logRank.reason)}.`;
  const { chisq, df, p, stratified } = logRank;
  return `Log-rank test${stratified ? ', stratified' : ''}, not adjusted: χ² ${formatDecimal(chisq)} on ${df} ${df === 1 ? 'degree' : 'degrees'} of freedom, ${formatPEquation(p)}.`;
};

function modelNotes({ adjusted }: Analysis): string[] {
  if (adjusted.status === 'notEstimable') return [];
  const missing = adjusted.leftOut.filter((l) => l.missing > 0);
  const leftOut = missing.length === 0 ? [] : [
    `The adjusted model uses complete records only: ${formatCount(adjusted.procedures)} procedures. Not recorded: ${missing.map((l) => `${l.covariate} in ${guardedCount(l.missing)}`).join(', ')}.`,
  ];
  return [...leftOut, ...adjusted.notes];
}

/** Without it, the first number at risk would read as if some had been lost. */
function lateNotes({ groups, riskTable }: Analysis): string[] {
  const late = groups.reduce((sum, { procedures }, g) => sum + procedures - (riskTable.atRisk[g]?.[0] ?? procedures), 0);
  return late > 0 ? [`${guardedCount(late)} ${late === 1 ? 'procedure is' : 'procedures are'} followed from a later day only, and among those at risk from then on`] : [];
}

function ratioTables(analysis: Analysis): ReportTable[] {
  const { adjusted, unadjusted, periods } = analysis;
  if (adjusted.status === 'notEstimable') return [];
  return [
    ratiosTable('hazard-ratios-adjusted', adjusted.adjustedFor.length > 0 ? 'Hazard ratios, adjusted' : 'Hazard ratios, not adjusted', analysis, adjusted),
    ...(unadjusted.status === 'ok' && adjusted.adjustedFor.length > 0 ? [ratiosTable('hazard-ratios-not-adjusted', 'Hazard ratios, not adjusted', analysis, unadjusted)] : []),
    ...('status' in periods ? [] : [periodsTable(analysis, adjusted)]),
    ...('status' in adjusted.proportionalHazards ? [] : [proportionalHazardsTable(adjusted)]),
  ];
}

export function comparisonReport(analysis: Analysis | NothingToShow, view: View): ComparisonReport | EmptyReport {
  if (analysis.status === 'empty') return { status: 'empty', reason: analysis.reason, attrition: guarded(attritionTable(analysis.attrition)) };
  const calendar = guarded(calendarTable(analysis));
  return {
    status: 'ok',
    question: analysis.question,
    sections: sectionsOf(analysis),
    groups: analysis.groups.map(({ key, label }) => ({ key, label })),
    horizonYears: analysis.question.horizonYears,
    reference: analysis.reference,
    source: sourceLine(analysis.source),
    settings: settingsLine(analysis),
    provenance: provenanceOf(analysis),
    readings: plainWords(analysis),
    comparability: comparability(analysis),
    notes: [...analysis.notes, ...lateNotes(analysis), ...modelNotes(analysis)].map(asSentence),
    logRank: logRankWords(analysis),
    proportionality: analysis.adjusted.status === 'ok' ? proportionalityWords(analysis.adjusted) : null,
    figures: { curves: curveFigure(analysis, view), forest: forestFigure(analysis), calendar: calendarFigure(analysis, calendar) },
    tables: {
      attrition: guarded(attritionTable(analysis.attrition)), groups: guarded(groupsTable(analysis)), caseMix: guarded(caseMixTable(analysis)),
      calendar, percent: guarded(percentTable(analysis)), curves: guarded(curvesTable(analysis)),
      rates: guarded(ratesTable(analysis)), ratios: ratioTables(analysis).map(guarded),
    },
  };
}
