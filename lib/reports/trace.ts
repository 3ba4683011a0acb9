import type { Curve, Estimate } from '../analysis/result';
import { firstAbove, firstAtLeast } from '../stats/distinctTimes';

/** A value against days since surgery, with the number at risk just before each day. NaN: none there. */
export interface Trace {
  readonly days: Float64Array;
  readonly values: Float64Array;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  readonly atRisk: Float64Array;
  readonly lastDay: number; // not to be read beyond
}

export interface TracePoint {
  readonly day: number;
  readonly value: number | null;
  readonly band: readonly [number, number] | null;
}

export const traceOf = ({ days, percent, lower, upper, atRisk, stop }: Curve): Trace => ({ days, values: percent, lower, upper, atRisk, lastDay: stop.day });

const pointOf = ({ days, values, lower, upper }: Trace, i: number): TracePoint => ({
  day: days[i]!,
  value: Number.isFinite(values[i]!) ? values[i]! : null,
  band: Number.isFinite(lower[i]!) && Number.isFinite(upper[i]!) ? [lower[i]!, upper[i]!] : null,
});

/** Of the last point not after a day; -1: it is before all. */
export const positionAt = ({ days }: Pick<Trace, 'days'>, day: number): number => firstAbove(days, day) - 1;

/** What holds at a day that the trace reaches. */
export const pointAt = (trace: Trace, day: number): TracePoint => ({ ...pointOf(trace, positionAt(trace, day)), day });

export function estimateAt(trace: Trace, day: number): Estimate | null {
  const i = positionAt(trace, day);
  return day > trace.lastDay || i < 0 || !Number.isFinite(trace.values[i]!) ? null : { value: trace.values[i]!, lower: trace.lower[i]!, upper: trace.upper[i]! };
}

/** At risk just before `day`: that of the first day not before it. Null beyond the end. */
export function atRiskAt({ days, atRisk, lastDay }: Trace, day: number): number | null {
  const next = firstAtLeast(days, day);
  return day > lastDay || next === days.length ? null : atRisk[next]!;
}

/** Every point up to `lastDay`. */
export const allPoints = (trace: Trace, lastDay: number): readonly TracePoint[] =>
  Array.from(trace.days.keys()).filter((i) => trace.days[i]! <= lastDay).map((i) => pointOf(trace, i));

/** What a large drawing can show: dots across and down, and the values from its foot to its top. */
export interface Canvas { readonly columns: number; readonly rows: number; readonly height: number }

/**
 * The steps up to `lastDay` that can be told apart when they are drawn. Every point given is one of the trace's own: steps are left
 * out, none is moved. The last one is always given.
 */
export function thinSteps(trace: Trace, lastDay: number, { columns, rows, height }: Canvas): readonly TracePoint[] {
  const { days, values, lower, upper } = trace;
  const size = firstAbove(days, lastDay);
  const dot = height / rows;
  const points: TracePoint[] = [];
  let kept = -1;
  const moved = (of: Float64Array, i: number) => !(Math.abs(of[i]! - of[kept]!) < dot);
  const columnOf = (i: number) => Math.floor((days[i]! / lastDay) * columns);
  for (let i = 0; i < size; ++i) {
    const last = i === size - 1;
    const nextIsSameColumn = !last && i > 0 && columnOf(i + 1) === columnOf(i);
    if (i > 0 && !last && (nextIsSameColumn || !(moved(values, i) || moved(lower, i) || moved(upper, i)))) continue;
    points.push(pointOf(trace, i));
    kept = i;
  }
  return points;
}
