import type { Analysis, AnsweredCurves, Curve, Group } from '../analysis/result';
import type { Question } from '../contract/question';
import type { View } from '../contract/view';
import { formatPercentEstimate } from './format';
import { capital } from './phrases';
import { netWords } from './questionWords';
import { timeFigure, type Drawing, type TimeFigure } from './timeFigure';
import { toldOf } from './toldDays';
import { atRiskAt, traceOf } from './trace';

export const bandWords = ({ bands }: View): string => (bands ? ', with bands of the chosen confidence' : '');

interface CurvesAsked extends Pick<Analysis, 'curves' | 'riskTable'> {
  readonly groups: readonly Pick<Group, 'label'>[];
  readonly question: Pick<Question, 'horizonYears'>;
}

/** Curves of percent revised: all that is alike whichever curves are drawn. `analysis.curves` are in the order of `analysis.groups`. */
export const percentDrawing = ({ groups, curves, question, riskTable }: CurvesAsked): Omit<Drawing, 'caption' | 'lines'> => ({
  name: 'revision-curves',
  title: 'Cumulative percent revision',
  unit: '%', scale: 'linear', even: null, shape: 'steps',
  groups: groups.map(({ label }, position) => ({ label, position })),
  horizonYears: question.horizonYears,
  format: formatPercentEstimate,
  unread: 'too few at risk',
  // whole years come from the risk table, which goes on beyond the stop
  atRisk: (group, day) => riskTable.atRisk[group]?.[riskTable.days.indexOf(day)] ?? atRiskOf(curves[group], day),
});

const atRiskOf = (curve: Curve | undefined, day: number): number | null => (curve === undefined ? null : atRiskAt(traceOf(curve), day));

/** The curves of the main answer: 1 − Kaplan–Meier. */
export const curveFigure = (analysis: AnsweredCurves, view: View): TimeFigure => timeFigure({
  ...percentDrawing(analysis),
  caption: `${capital(netWords(analysis.question))}: 100 (1 − Kaplan–Meier)${bandWords(view)}. A curve stops where too few are at risk.`,
  lines: analysis.curves.map((curve, group) => ({ label: analysis.groups[group]?.label ?? '', group, thin: false, trace: traceOf(curve), told: toldOf(curve, analysis.groups[group]?.events) })),
}, view);
