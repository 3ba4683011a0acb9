'use client';
import type { CalendarFigure } from '../../lib/reports/calendarFigure';
import { linePath } from '../blocks/plane/paths';
import { Plane, ticksAt } from '../blocks/plane/Plane';
import { seriesColour, seriesDash } from '../parts/series';

interface Props {
  readonly years: CalendarFigure['paper'];
  readonly figure: CalendarFigure;
  readonly groups: readonly { readonly label: string }[];
  /** Fixed, in CSS pixels; without it the drawing fills its box. */
  readonly width?: number;
}

/** Procedures per calendar year, a line per group. */
export function CalendarChart({ figure: { yearTicks, countTicks }, years, groups, width }: Props) {
  const first = years[0]?.year ?? 0, last = years.at(-1)?.year ?? first;
  return (
    <Plane
      width={width} height={226} margin={{ top: 10, right: 20, bottom: 0 }}
      across={{ from: first, to: Math.max(last, first + 1), ticks: ticksAt(yearTicks), space: 44, title: 'Year' }}
      up={{ from: 0, to: countTicks.at(-1) ?? 1, ticks: ticksAt(countTicks), space: 50 }}
    >
      {({ x, y }) => groups.map(({ label }, group) => (
        <path
          key={label} data-line={label} fill="none" stroke={seriesColour(group)} strokeDasharray={seriesDash(group)} strokeWidth={2}
          d={linePath(years.map(({ year, counts }) => { const count = counts[group] ?? null; return count === null ? null : [x(year), y(count)]; }), false)}
        />
      ))}
    </Plane>
  );
}
