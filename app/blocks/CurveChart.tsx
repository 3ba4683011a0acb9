'use client';
import { memo } from 'react';
import { Area, CartesianGrid, ComposedChart, Line, ReferenceLine, XAxis, YAxis } from 'recharts';
import type { FigureLine, TimeFigure, TimeReading } from '../../lib/reports/timeFigure';
import { seriesColour, seriesDash } from '../parts/series';
import { ReadingMarks } from './ReadingMarks';
import { RiskStrip, stripHeight } from './RiskStrip';

interface Props {
  readonly figure: TimeFigure;
  readonly lines: readonly FigureLine[];
  readonly few: boolean; // fewer ticks, for a narrow drawing
  /** Fixed size in CSS pixels; without it the drawing fills its box. */
  readonly width?: number;
  /** Steps that are told at some times only: marked there, and straight between, as nothing is told of what lies between. */
  readonly marked?: boolean;
  /** A small drawing has no numbers at risk under it. */
  readonly small?: boolean;
  readonly reading?: TimeReading;
  readonly onRead?: (position: number) => void;
}

const mostMarked = 60; // more would hide the line
const axisHeight = 44, left = 46;
const tick = { fill: 'var(--ink)', fontSize: 12 };

/** Lines against time since surgery with their bands, and the numbers at risk under their times. */
export const CurveChart = memo(function CurveChart({ figure, lines, few, width, marked = false, small = false, reading, onRead }: Props) {
  const { lastDay, valueTicks, unit, scale, even, shape, bands, timeLabel } = figure;
  const ticks = few ? figure.fewTimeTicks : figure.timeTicks;
  const labels = new Map(ticks.map(({ at, label }) => [at, label]));
  const strip = small ? 0 : stripHeight(figure.groups.length);
  const height = (small ? 160 : 340) + axisHeight + strip;
  const type = shape === 'steps' && !marked ? 'stepAfter' : 'linear';
  return (
    <ComposedChart
      {...(width === undefined ? { responsive: true, style: { width: '100%', height } } : { width, height })}
      margin={{ top: 12, right: 26, bottom: strip, left: 0 }} accessibilityLayer={false}
    >
      <CartesianGrid vertical={false} stroke="var(--rule)" />
      <XAxis
        type="number" dataKey="day" domain={[0, lastDay]} allowDataOverflow ticks={ticks.map(({ at }) => at)} interval={0} height={axisHeight}
        tickFormatter={(day: number) => labels.get(day) ?? ''} stroke="var(--ink)" tick={tick}
        label={{ value: timeLabel, position: 'insideBottom', offset: 2, fill: 'var(--ink-soft)', fontSize: 12 }}
      />
      <YAxis
        width={left} scale={scale} domain={[valueTicks[0] ?? 0, valueTicks.at(-1) ?? 100]} allowDataOverflow ticks={[...valueTicks]} interval={0} unit={unit}
        stroke="var(--ink)" tick={tick}
      />
      {even !== null && <ReferenceLine y={even} stroke="var(--ink-soft)" />}
      {bands && lines.map(({ group, thin, points }, i) => !thin && (
        <Area
          key={i} data={points} dataKey="band" type={type} stroke="none" fill={seriesColour(group)} fillOpacity={0.14}
          isAnimationActive={false} activeDot={false} connectNulls={false}
        />
      ))}
      {lines.map(({ label, group, thin, points }, i) => (
        <Line
          key={i} data={points} dataKey="value" name={label} type={type} stroke={seriesColour(group)} strokeDasharray={seriesDash(group)}
          strokeWidth={thin ? 1 : 2} strokeOpacity={thin ? 0.75 : 1} dot={marked && points.length <= mostMarked ? { r: 2.5, strokeDasharray: '' } : false} activeDot={false} isAnimationActive={false} connectNulls={false}
        />
      ))}
      {!small && <RiskStrip ticks={ticks} figure={figure} />}
      {reading !== undefined && onRead !== undefined && <ReadingMarks reading={reading} lines={lines} readings={figure.readings.length} onRead={onRead} />}
    </ComposedChart>
  );
});
