export interface DayPoint { readonly day: number; readonly value: number }

/** Dots across a large drawing. */
export const columns = 1200;

/**
 * Of a value for each day, those days that can be told apart when they are drawn: where several share a column of dots, the first, the last, the
 * lowest and the highest. Every point given is one of the series' own.
 */
export function thinDays(values: Float64Array, firstDay: number, across = columns): readonly DayPoint[] {
  const size = values.length, points: DayPoint[] = [];
  const columnOf = (t: number): number => Math.floor((t / Math.max(1, size - 1)) * across);
  for (let from = 0; from < size;) {
    let low = from, high = from, to = from;
    for (const column = columnOf(from); to < size && columnOf(to) === column; ++to) {
      if (values[to]! < values[low]!) low = to;
      if (values[to]! > values[high]!) high = to;
    }
    for (const t of [...new Set([from, low, high, to - 1])].sort((a, b) => a - b)) points.push({ day: firstDay + t, value: values[t]! });
    from = to;
  }
  return points;
}
