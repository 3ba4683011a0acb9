'use client';
import { CartesianGrid, Line, LineChart, XAxis, YAxis } from 'recharts';
import type { CalendarFigure } from '../../lib/reports/calendarFigure';
import { seriesColour, seriesDash } from '../parts/series';

/** Procedures per calendar year, a line per group. */
export function CalendarChart({ figure, years, groups, width }: { readonly years: CalendarFigure['paper']; readonly figure: CalendarFigure; readonly groups: readonly { readonly label: string }[]; readonly width?: number }) {
  const height = 210;
  return (
    <LineChart
      {...(width === undefined ? { responsive: true, style: { width: '100%', height } } : { width, height })}
      data={[...years]} margin={{ top: 10, right: 20, bottom: 0, left: 0 }} accessibilityLayer={false}
    >
      <CartesianGrid vertical={false} stroke="var(--rule)" />
      <XAxis dataKey="year" type="number" domain={['dataMin', 'dataMax']} ticks={[...figure.yearTicks]} interval={0} stroke="var(--ink)" tick={{ fill: 'var(--ink)', fontSize: 12 }} />
      <YAxis width={50} domain={[0, figure.countTicks.at(-1) ?? 1]} ticks={[...figure.countTicks]} interval={0} stroke="var(--ink)" tick={{ fill: 'var(--ink)', fontSize: 12 }} />
      {groups.map(({ label }, group) => (
        <Line
          key={label} dataKey={`counts.${group}`} name={label} stroke={seriesColour(group)} strokeDasharray={seriesDash(group)} strokeWidth={2}
          dot={false} activeDot={false} connectNulls={false} isAnimationActive={false}
        />
      ))}
    </LineChart>
  );
}
