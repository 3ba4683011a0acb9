import type { Analysis, Curve } from '../analysis/result';
import { daysOfYears } from '../cohort/days';
import type { View } from '../contract/view';
import { formatCount, formatPercentEstimate, formatSpan } from './format';
import { stepAt, thinSteps, type StepPoint } from './thinSteps';
import { ticksFromZero } from './ticks';

export interface AxisTick { readonly at: number; readonly label: string }

/** All groups at one time: what hovering, the arrow keys and a screen reader get. */
export interface CurveReading {
  readonly day: number;
  readonly label: string;
  readonly groups: readonly { readonly percent: number | null; readonly text: string; readonly atRisk: string }[];
  readonly spoken: string;
}

export interface CurveSeries {
  readonly label: string;
  readonly points: readonly (StepPoint & { readonly band: readonly [number, number] | null })[];
}

/** Everything a drawing of the curves needs, worked out: times in days, percent 0–100. */
export interface CurveFigure {
  readonly lastDay: number;
  readonly timeLabel: string;
  readonly timeTicks: readonly AxisTick[];
  readonly fewTimeTicks: readonly AxisTick[]; // for narrow drawings
  readonly percentTicks: readonly number[];
  readonly bands: boolean;
  readonly series: readonly CurveSeries[];
  /** The same read at month ends, for print and files: single steps can give a person away. */
  readonly monthly: readonly CurveSeries[];
  /** Number at risk per group, in the order of `timeTicks`; empty beyond the stop. */
  readonly atRisk: readonly (readonly string[])[];
  readonly readings: readonly CurveReading[]; // by month
  readonly firstReading: number; // position of the last at which every group can be read
}

const columns = 900, rows = 600; // dots of a large drawing
const monthDays = 365.25 / 12;


/** At risk just before `day`: that of the first step not before it. Null beyond the stop. */
function atRiskAt(curve: Curve, day: number): number | null {
  const next = curve.days.findIndex((d) => d >= day);
  if (day > curve.stop.day || next < 0) return null;
  return curve.atRisk[next] ?? null;
}

function timeStep(years: number): number {
  const steps = [0.25, 0.5, 1, 2, 5];
  return steps.find((step) => years / step <= 10) ?? 5;
}

function timeTicks(years: number, { axis }: View): readonly AxisTick[] {
  if (axis === 'days') return ticksFromZero(daysOfYears(years), 8).filter((day) => day <= daysOfYears(years)).map((day) => ({ at: day, label: formatCount(day) }));
  const step = timeStep(years);
  return Array.from({ length: Math.floor(years / step + 1e-9) + 1 }, (_, i) => ({ at: daysOfYears(i * step), label: String(i * step) }));
}

const readingDays = (lastDay: number): readonly number[] =>
  Array.from({ length: Math.floor(lastDay / monthDays + 1e-9) + 1 }, (_, month) => Math.round(month * monthDays));

function monthLabel(month: number): string {
  if (month === 0) return 'day of surgery';
  if (month < 24 || month % 12 === 0) return formatSpan(month / 12);
  return `${formatSpan(Math.floor(month / 12))} ${month % 12} ${month % 12 === 1 ? 'month' : 'months'}`;
}

function reading(analysis: Analysis, day: number, month: number, { axis }: View): CurveReading {
  const label = axis === 'days' ? `${formatCount(day)} days` : monthLabel(month);
  const groups = analysis.curves.map((curve) => {
    const atRisk = atRiskAt(curve, day);
    if (atRisk === null) return { percent: null, text: 'too few at risk', atRisk: '' };
    const { percent, lower, upper } = stepAt(curve, day);
    return { percent, text: formatPercentEstimate({ value: percent, lower: lower ?? NaN, upper: upper ?? NaN }), atRisk: formatCount(atRisk) };
  });
  const spoken = groups.map((g, k) => `${analysis.groups[k]?.label ?? ''} ${g.text}${g.atRisk === '' ? '' : `, ${g.atRisk} at risk`}`).join('; ');
  return { day, label, groups, spoken: `${label}: ${spoken}` };
}

const series = ({ groups }: Analysis, group: number, points: readonly StepPoint[]): CurveSeries => ({
  label: groups[group]?.label ?? '',
  points: points.map((p) => ({ ...p, band: p.lower === null || p.upper === null ? null : [p.lower, p.upper] })),
});

/** Whole years come from the risk table, which goes on beyond the stop. */
function atTick({ riskTable }: Analysis, curve: Curve, group: number, day: number): string {
  const n = riskTable.atRisk[group]?.[riskTable.days.indexOf(day)] ?? atRiskAt(curve, day);
  return n === null ? '' : formatCount(n);
}

/** The figure of the curves. `analysis.curves` are in the order of `analysis.groups`. */
export function curveFigure(analysis: Analysis, view: View): CurveFigure {
  const years = Math.min(view.spanYears ?? analysis.question.horizonYears, analysis.question.horizonYears);
  const lastDay = daysOfYears(years);
  const highest = Math.max(0.5, ...analysis.curves.map((curve) => highestShown(curve, lastDay, view.bands)));
  const percentTicks = ticksFromZero(Math.min(highest, 100), 6);
  const top = percentTicks.at(-1) ?? 100;
  const ticks = timeTicks(years, view);
  const readings = readingDays(lastDay).map((day, month) => reading(analysis, day, month, view));
  return {
    lastDay,
    timeLabel: view.axis === 'days' ? 'Days since surgery' : 'Years since surgery',
    timeTicks: ticks,
    fewTimeTicks: ticks.filter((_, i) => i % 2 === 0),
    percentTicks,
    bands: view.bands,
    series: analysis.curves.map((curve, i) => series(analysis, i, thinSteps(curve, lastDay, top, columns, rows))),
    monthly: analysis.curves.map((curve, i) => series(analysis, i, readingDays(lastDay).filter((day) => day <= curve.stop.day).map((day) => stepAt(curve, day)))),
    atRisk: analysis.curves.map((curve, g) => ticks.map(({ at }) => atTick(analysis, curve, g, at))),
    readings,
    firstReading: Math.max(0, readings.findLastIndex(({ groups }) => groups.every((g) => g.percent !== null))),
  };
}

function highestShown({ days, percent, upper }: Curve, lastDay: number, bands: boolean): number {
  let highest = 0;
  for (let i = 0; i < days.length && days[i]! <= lastDay; ++i) {
    highest = Math.max(highest, percent[i]!);
    if (bands && Number.isFinite(upper[i]!)) highest = Math.max(highest, upper[i]!);
  }
  return highest;
}
