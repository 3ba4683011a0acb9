import type { Curve } from '../analysis/result';

export interface StepPoint {
  readonly day: number;
  readonly percent: number;
  readonly lower: number | null;
  readonly upper: number | null;
}

const orNull = (value: number): number | null => (Number.isFinite(value) ? value : null);

/** The value of the curve at a day that it reaches. */
export const stepAt = (curve: Curve, day: number): StepPoint => ({ ...pointOf(curve, curve.days.findLastIndex((d) => d <= day)), day });

const pointOf = ({ days, percent, lower, upper }: Curve, i: number): StepPoint => ({
  day: days[i] ?? NaN, percent: percent[i] ?? NaN, lower: orNull(lower[i] ?? NaN), upper: orNull(upper[i] ?? NaN),
});

/**
 * The steps of a curve up to `lastDay` that can be told apart when it is drawn on `columns` by `rows` dots with `highest` percent
 * at the top. Every point given is one of the curve's own: steps are left out, none is moved. The last one is always given.
 */
export function thinSteps(curve: Curve, lastDay: number, highest: number, columns: number, rows: number): readonly StepPoint[] {
  const { days, percent, lower, upper } = curve;
  const size = days.findLastIndex((day) => day <= lastDay) + 1;
  const dot = highest / rows;
  const points: StepPoint[] = [];
  let kept = -1;
  const moved = (values: Float64Array, i: number) => !(Math.abs(values[i]! - values[kept]!) < dot);
  const columnOf = (i: number) => Math.floor((days[i]! / lastDay) * columns);
  for (let i = 0; i < size; ++i) {
    const last = i === size - 1;
    const nextIsSameColumn = !last && i > 0 && columnOf(i + 1) === columnOf(i);
    if (i > 0 && !last && (nextIsSameColumn || !(moved(percent, i) || moved(lower, i) || moved(upper, i)))) continue;
    points.push(pointOf(curve, i));
    kept = i;
  }
  return points;
}
