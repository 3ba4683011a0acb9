'use client';
import type { CalendarFigure } from '../../lib/reports/calendarFigure';
import { linePath } from '../blocks/plane/paths';
import { Plane } from '../blocks/plane/Plane';
import { seriesColour, seriesDash } from '../parts/series';

interface Props {
  readonly figure: CalendarFigure;
  readonly years: CalendarFigure['paper'];
  readonly groups: readonly { readonly label: string }[];
  /** Fixed size in CSS pixels; without it the drawing fills its box. */
  readonly width?: number;
}

/** Procedures per calendar year, a line per group. */
export function CalendarChart({ figure: { yearTicks, countTicks }, years, groups, width }: Props) {
  const plain = (ticks: readonly number[]) => ticks.map((at) => ({ at, label: String(at) }));
  return (
    <Plane
      width={width} height={210} margin={{ top: 10, right: 20, bottom: 0 }}
      across={{ from: years[0]?.year ?? 0, to: years.at(-1)?.year ?? 1, ticks: plain(yearTicks), space: 30 }}
      up={{ from: 0, to: countTicks.at(-1) ?? 1, ticks: plain(countTicks), space: 50 }}
    >
      {({ x, y }) => groups.map(({ label }, group) => {
        const at = years.map(({ year, counts }) => { const count = counts[group] ?? null; return count === null ? null : [x(year), y(count)] as const; });
        return <path key={label} data-line={label} fill="none" stroke={seriesColour(group)} strokeDasharray={seriesDash(group)} strokeWidth={2} d={linePath(at, false)} />;
      })}
    </Plane>
  );
}
