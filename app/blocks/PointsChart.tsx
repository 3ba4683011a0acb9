'use client';
import { CartesianGrid, ComposedChart, Line, ReferenceLine, usePlotArea, useXAxisScale, useYAxisScale, XAxis, YAxis } from 'recharts';
import type { PointMark, PointsFigure } from '../../lib/reports/visits/pointsFigure';
import { seriesColour } from '../parts/series';

interface Props {
  readonly figure: PointsFigure;
  readonly marks: readonly PointMark[];
  /** Fixed size in CSS pixels; without it the drawing fills its box. */
  readonly width?: number;
}

const height = 260;
const tick = { fill: 'var(--ink)', fontSize: 12 };

/** Estimates with their limits, groups side by side at each visit. */
export function PointsChart({ figure: { places, ticks, groups, unit }, marks, width }: Props) {
  const labelAt = (at: number) => ticks.find((one) => one.at === at)?.label ?? '';
  return (
    <ComposedChart
      data={places.map((_, place) => ({ place }))} {...(width === undefined ? { responsive: true, style: { width: '100%', height } } : { width, height })}
      margin={{ top: 12, right: 12, bottom: 0, left: 0 }} accessibilityLayer={false}
    >
      <CartesianGrid vertical={false} stroke="var(--rule)" />
      <XAxis
        type="number" dataKey="place" domain={[-0.5, places.length - 0.5]} ticks={places.map((_, i) => i)} interval={0} height={30} stroke="var(--ink)" tick={tick}
        tickFormatter={(place: number) => places[place] ?? ''}
      />
      <YAxis
        width={52} type="number" domain={[0, 100]} ticks={ticks.map(({ at }) => at)} interval={0} stroke="var(--ink)" tick={tick} tickFormatter={labelAt}
        label={{ value: unit, angle: -90, position: 'insideLeft', fill: 'var(--ink-soft)', fontSize: 12 }}
      />
      {ticks.filter(({ label }) => label === '0').map(({ at }) => <ReferenceLine key={at} y={at} stroke="var(--ink)" strokeWidth={1} />)}
      {/* nothing is seen of it: an axis has a scale only where something is drawn against it */}
      <Line data={[{ place: 0, at: 0 }, { place: 0, at: 100 }]} dataKey="at" stroke="none" dot={false} activeDot={false} isAnimationActive={false} />
      <Marks marks={marks} groups={groups.length} />
    </ComposedChart>
  );
}

function Marks({ marks, groups }: { readonly marks: readonly PointMark[]; readonly groups: number }) {
  const plot = usePlotArea(), x = useXAxisScale(), y = useYAxisScale();
  if (plot === undefined || x === undefined || y === undefined) return null;
  const spread = Math.min(0.14, 0.7 / groups);
  return (
    <g className="point-marks">
      {marks.map(({ place, group, at, from, to }, i) => {
        const cx = x(place + (group - (groups - 1) / 2) * spread) ?? 0, [middle, low, high] = [y(at) ?? 0, y(from) ?? 0, y(to) ?? 0], colour = seriesColour(group);
        return (
          <g key={i} stroke={colour} fill={colour}>
            <path d={`M${cx} ${low} V${high} M${cx - 3} ${low} h6 M${cx - 3} ${high} h6`} strokeWidth={1.6} fill="none" />
            <GroupShape group={group} cx={cx} cy={middle} />
          </g>
        );
      })}
    </g>
  );
}

/** Circle, square, triangle, diamond, and the same hollow: told apart without colour. */
export function GroupShape({ group, cx, cy }: { readonly group: number; readonly cx: number; readonly cy: number }) {
  const hollow = group >= 4 ? { fill: 'var(--paper)', strokeWidth: 1.8 } : { strokeWidth: 0.5 };
  switch (group % 4) {
    case 0: return <circle cx={cx} cy={cy} r={4.4} {...hollow} />;
    case 1: return <rect x={cx - 4} y={cy - 4} width={8} height={8} {...hollow} />;
    case 2: return <path d={`M${cx} ${cy - 5} L${cx + 5} ${cy + 4} L${cx - 5} ${cy + 4} Z`} {...hollow} />;
    default: return <path d={`M${cx} ${cy - 5.5} L${cx + 5.5} ${cy} L${cx} ${cy + 5.5} L${cx - 5.5} ${cy} Z`} {...hollow} />;
  }
}
