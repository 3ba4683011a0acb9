'use client';
import { Area, CartesianGrid, ComposedChart, Line, XAxis, YAxis } from 'recharts';
import type { CurveFigure, CurveReading, CurveSeries } from '../../lib/reports/curveFigure';
import { seriesColour, seriesDash } from '../parts/series';
import { ReadingMarks } from './ReadingMarks';
import { RiskStrip, stripHeight } from './RiskStrip';

interface Props {
  readonly figure: CurveFigure;
  readonly series: readonly CurveSeries[];
  readonly few: boolean; // fewer ticks, for a narrow drawing
  /** Fixed size in CSS pixels; without it the drawing fills its box. */
  readonly width?: number;
  readonly reading?: CurveReading;
  readonly onRead?: (position: number) => void;
}

const plotHeight = 340, axisHeight = 44, left = 46;

/** Cumulative percent revision, 0–100, with bands and the numbers at risk under their times. Steps: constant between events. */
export function CurveChart({ figure, series, few, width, reading, onRead }: Props) {
  const ticks = few ? figure.fewTimeTicks : figure.timeTicks;
  const labels = new Map(ticks.map(({ at, label }) => [at, label]));
  const strip = stripHeight(series.length);
  const height = plotHeight + axisHeight + strip;
  return (
    <ComposedChart
      {...(width === undefined ? { responsive: true, style: { width: '100%', height } } : { width, height })}
      margin={{ top: 12, right: 26, bottom: strip, left: 0 }} accessibilityLayer={false}
    >
      <CartesianGrid vertical={false} stroke="var(--rule)" />
      <XAxis
        type="number" dataKey="day" domain={[0, figure.lastDay]} allowDataOverflow ticks={ticks.map(({ at }) => at)} interval={0} height={axisHeight}
        tickFormatter={(day: number) => labels.get(day) ?? ''} stroke="var(--ink)" tick={{ fill: 'var(--ink)', fontSize: 12 }}
        label={{ value: figure.timeLabel, position: 'insideBottom', offset: 2, fill: 'var(--ink-soft)', fontSize: 12 }}
      />
      <YAxis
        width={left} domain={[0, figure.percentTicks.at(-1) ?? 100]} allowDataOverflow ticks={[...figure.percentTicks]} interval={0} unit="%"
        stroke="var(--ink)" tick={{ fill: 'var(--ink)', fontSize: 12 }}
      />
      {figure.bands && series.map(({ label, points }, group) => (
        <Area
          key={label} data={points} dataKey="band" name={label} type="stepAfter" stroke="none" fill={seriesColour(group)} fillOpacity={0.14}
          isAnimationActive={false} activeDot={false} connectNulls={false}
        />
      ))}
      {series.map(({ label, points }, group) => (
        <Line
          key={label} data={points} dataKey="percent" name={label} type="stepAfter" stroke={seriesColour(group)} strokeDasharray={seriesDash(group)}
          strokeWidth={2} dot={false} activeDot={false} isAnimationActive={false}
        />
      ))}
      <RiskStrip ticks={ticks} figure={figure} series={series} />
      {reading !== undefined && onRead !== undefined && <ReadingMarks reading={reading} readings={figure.readings.length} onRead={onRead} />}
    </ComposedChart>
  );
}
