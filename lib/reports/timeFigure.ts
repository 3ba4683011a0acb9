import type { Estimate } from '../analysis/result';
import { daysOfYears } from '../cohort/days';
import type { View } from '../contract/view';
import { policyInForce } from '../disclosure/policy';
import { coarsened } from '../disclosure/rounding';
import { formatCount } from './format';
import { capital } from './phrases';
import { guardedCount, isSmall, smallestCount } from './smallCounts';
import { ratioTicks, ticksFromZero } from './ticks';
import { monthEnds, monthLabel, timeTicks, type AxisTick } from './timeAxis';
import type { Told } from './toldDays';
import { allPoints, atRiskAt, estimateAt, pointAt, thinSteps, type Trace, type TracePoint } from './trace';

/** All lines at one time: what hovering, the arrow keys and a screen reader get. */
export interface TimeReading {
  readonly day: number;
  readonly label: string;
  readonly lines: readonly { readonly value: number | null; readonly text: string; readonly atRisk: string }[];
  readonly spoken: string;
}

export interface FigureGroup { readonly label: string; readonly position: number } // of all groups; gives it its colour and dash

export interface FigureLine {
  readonly label: string;
  readonly group: number; // position; gives the line its colour and dash
  readonly thin: boolean; // stands behind the others, without a band
  readonly points: readonly TracePoint[];
}

/** Everything that a drawing against time since surgery needs, worked out: times in days. */
export interface TimeFigure {
  readonly name: string; // names the file
  readonly title: string;
  readonly caption: string;
  readonly lastDay: number;
  readonly timeLabel: string;
  readonly timeTicks: readonly AxisTick[];
  readonly fewTimeTicks: readonly AxisTick[]; // for narrow drawings
  readonly valueTicks: readonly number[];
  readonly unit: string;
  /** What the values are, said at their axis where no unit stands behind each. */
  readonly valueLabel?: string;
  readonly scale: 'linear' | 'log';
  readonly even: number | null; // where a line says “no difference”
  readonly shape: 'steps' | 'smooth';
  readonly bands: boolean;
  readonly groups: readonly FigureGroup[]; // of the numbers at risk
  readonly lines: readonly FigureLine[];
  /** The same for print and files, steps read where they may be told: single steps can give a person away. */
  readonly paper: readonly FigureLine[];
  /** Number at risk per one of `groups`, in the order of `timeTicks`; empty where it is not known. */
  readonly atRisk: readonly (readonly string[])[];
  /** The same for print and files. */
  readonly outsideAtRisk?: readonly (readonly string[])[];
  readonly readings: readonly TimeReading[]; // by month
  readonly firstReading: number; // position of the last at which every line can be read
  /** Why there are axes and nothing between them. */
  readonly nothing?: string;
}

export interface Drawing extends Pick<TimeFigure, 'name' | 'title' | 'caption' | 'unit' | 'valueLabel' | 'scale' | 'even' | 'shape' | 'groups'> {
  /** `told`: days at which a line of steps may be read outside the page. */
  readonly lines: readonly { readonly label: string; readonly group: number; readonly thin: boolean; readonly trace: Trace; readonly told: readonly Told[] }[];
  readonly horizonYears: number;
  readonly format: (estimate: Estimate) => string;
  readonly unread: string; // said where a line can't be read
  readonly atRisk: (group: number, day: number) => number | null;
  readonly highest?: number; // value that the axis has to reach; else what is drawn
}

const columns = 900, rows = 600; // dots of a large drawing
const widestRatio = [0.1, 10] as const; // a logarithmic axis reaches no further, unless a value does
const beyondValues = 3; // an axis reaches no further than this many times the highest value, however wide the limits

export const timeLabel = ({ axis }: View): string => (axis === 'days' ? 'Days since surgery' : 'Years since surgery');

/** Highest value, or limit where bands are drawn, up to `lastDay`. */
export function highestShown(traces: readonly Trace[], lastDay: number, bands: boolean): number {
  let value = 0, limit = 0;
  for (const { days, values, upper } of traces) {
    for (let i = 0; i < days.length && days[i]! <= lastDay; ++i) {
      if (Number.isFinite(values[i]!)) value = Math.max(value, values[i]!);
      if (bands && Number.isFinite(upper[i]!)) limit = Math.max(limit, upper[i]!);
    }
  }
  return value > 0 ? Math.max(value, Math.min(limit, beyondValues * value)) : limit;
}

function valueTicks({ lines, scale, unit, highest }: Drawing, lastDay: number, bands: boolean): readonly number[] {
  if (scale === 'linear') {
    const most = highest ?? highestShown(lines.map(({ trace }) => trace), lastDay, bands);
    return ticksFromZero(unit === '%' ? Math.min(Math.max(most, 0.5), 100) : most, 6);
  }
  const points = lines.flatMap(({ trace }) => allPoints(trace, lastDay)), isRatio = (ratio: number | null): ratio is number => ratio !== null && ratio > 0;
  const values = points.map(({ value }) => value).filter(isRatio), limits = bands ? points.flatMap(({ band }) => band ?? []).filter(isRatio) : [];
  const lowest = Math.max(widestRatio[0], Math.min(1, ...limits)), largest = Math.min(widestRatio[1], Math.max(1, ...limits));
  return ratioTicks(Math.min(lowest, ...values), Math.max(largest, ...values));
}

function readingAt({ lines, format, unread }: Drawing, day: number, month: number, { axis }: View): TimeReading {
  const label = axis === 'days' ? `${formatCount(day)} days` : monthLabel(month);
  const read = lines.map(({ trace }) => {
    const estimate = estimateAt(trace, day), atRisk = atRiskAt(trace, day);
    return estimate === null
      ? { value: null, text: unread, atRisk: '' }
      : { value: estimate.value, text: format(estimate), atRisk: atRisk === null ? '' : formatCount(atRisk) };
  });
  const spoken = read.map((at, i) => `${lines[i]?.label ?? ''} ${at.text}${at.atRisk === '' ? '' : `, ${at.atRisk} at risk`}`).join('; ');
  return { day, label, lines: read, spoken: `${label}: ${spoken}` };
}

/** Said where axes have nothing between them, and why. */
export const nothingDrawn = (unread: string): string => `${capital(unread)}: nothing can be drawn`;

/** No finer than counts that are rounded would allow. */
function outsidePoint({ day, value, band }: TracePoint, { counts }: Told): TracePoint {
  const { rounding } = policyInForce(), coarse = (of: number) => coarsened(of, counts, rounding);
  return { day, value: value === null ? null : coarse(value), band: band === null ? null : [coarse(band[0]), coarse(band[1])] };
}

/** The figure of lines against time, as the view wants it. */
export function timeFigure(drawing: Drawing, view: View): TimeFigure {
  const { name, title, caption, unit, valueLabel, scale, even, shape, groups, lines, horizonYears, atRisk, unread } = drawing;
  const years = Math.min(view.spanYears ?? horizonYears, horizonYears), lastDay = daysOfYears(years);
  const ticks = timeTicks(years, view), values = valueTicks(drawing, lastDay, view.bands);
  const readings = monthEnds(lastDay).map((day, month) => readingAt(drawing, day, month, view));
  const drawn = (points: (trace: Trace, told: readonly Told[]) => readonly TracePoint[]) => lines.map(({ label, group, thin, trace, told }): FigureLine => ({ label, group, thin, points: points(trace, told) }));
  const canvas = { columns, rows, height: values.at(-1) ?? 100 };
  const onScreen = drawn((trace) => (shape === 'steps' ? thinSteps(trace, lastDay, canvas) : allPoints(trace, lastDay)));
  return {
    name, title, caption, unit, scale, even, shape, groups,
    ...(valueLabel !== undefined && { valueLabel }), ...(onScreen.length > 0 && onScreen.every(({ points }) => points.length === 0) && { nothing: nothingDrawn(unread) }),
    lastDay,
    timeLabel: timeLabel(view),
    timeTicks: ticks,
    fewTimeTicks: ticks.filter((_, i) => i % 2 === 0),
    valueTicks: values,
    bands: view.bands,
    lines: onScreen,
    paper: drawn((trace, told) => (shape === 'steps' ? told.filter(({ day }) => day <= Math.min(lastDay, trace.lastDay)).map((at) => outsidePoint(pointAt(trace, at.day), at)) : allPoints(trace, lastDay))).filter(({ points }) => points.length > 0),
    atRisk: groups.map(({ position }) => ticks.map(({ at }) => { const n = atRisk(position, at); return n === null ? '' : formatCount(n); })),
    outsideAtRisk: groups.map(({ position }) => ticks.map(({ at }) => { const n = atRisk(position, at); return n === null ? '' : isSmall(n) ? `<${smallestCount()}` : guardedCount(n); })),
    readings,
    firstReading: Math.max(0, readings.findLastIndex((reading) => reading.lines.every(({ value }) => value !== null))),
  };
}
