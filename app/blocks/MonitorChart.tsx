'use client';
import { CartesianGrid, ComposedChart, Line, ReferenceDot, ReferenceLine, XAxis, YAxis } from 'recharts';
import type { MonitorFigure, MonitorPanel } from '../../lib/reports/monitoring/monitorFigure';
import { seriesColour, seriesDash } from '../parts/series';

interface Props {
  readonly figure: MonitorFigure;
  readonly part: 'chart' | 'counts';
  readonly on: 'screen' | 'paper';
  readonly few: boolean; // fewer ticks, for a narrow drawing
  readonly width?: number; // fixed, in CSS pixels
}

const left = 46, axisHeight = 26;
const tick = { fill: 'var(--ink)', fontSize: 12 };
const triangle = 'M0,-7 L6.5,5 L-6.5,5 Z';

/** One of the two drawings of a chart over calendar time: the evidence with its limit, or revisions to date. */
export function MonitorChart({ figure, part, on, few, width }: Props) {
  const { firstDay, lastDay, limit, signals, resets } = figure, panel: MonitorPanel = figure[part], isChart = part === 'chart';
  const ticks = few ? figure.fewTimeTicks : figure.timeTicks, labels = new Map(ticks.map(({ at, label }) => [at, label]));
  const height = (isChart ? 300 : 150) + axisHeight;
  const marks = signals.flatMap(({ label, day, value, paper }) => (on === 'screen' ? [{ label, day, value }] : paper === null ? [] : [{ label, ...paper }]));
  return (
    <ComposedChart
      {...(width === undefined ? { responsive: true, style: { width: '100%', height } } : { width, height })}
      margin={{ top: 16, right: 26, bottom: 0, left: 0 }} accessibilityLayer={false}
    >
      <CartesianGrid vertical={false} stroke="var(--rule)" />
      <XAxis
        type="number" dataKey="day" domain={[firstDay, lastDay]} allowDataOverflow ticks={ticks.map(({ at }) => at)} interval={0} height={axisHeight}
        tickFormatter={(day: number) => labels.get(day) ?? ''} stroke="var(--ink)" tick={tick}
      />
      <YAxis width={left} domain={[0, panel.valueTicks.at(-1) ?? 1]} allowDataOverflow ticks={[...panel.valueTicks]} interval={0} stroke="var(--ink)" tick={tick} />
      {resets.map(({ label, day }) => (
        <ReferenceLine key={label} x={day} stroke="var(--ink-soft)" strokeDasharray="2 3" strokeWidth={1.5} {...(isChart && { label: { value: label, position: 'top', fill: 'var(--ink)', fontSize: 12 } })} />
      ))}
      {isChart && <ReferenceLine y={limit.value} stroke="var(--ink)" strokeDasharray="7 4" strokeWidth={1.5} label={{ value: limit.label, position: 'insideBottomLeft', fill: 'var(--ink)', fontSize: 12 }} />}
      {panel.lines.map(({ label, group, points, paper }) => (
        <Line
          key={label} data={[...(on === 'screen' ? points : paper)]} dataKey="value" name={label} type={!isChart && group === 0 && on === 'screen' ? 'stepAfter' : 'linear'}
          stroke={seriesColour(group)} strokeDasharray={seriesDash(group)} strokeWidth={isChart ? 1.5 : 2} dot={false} activeDot={false} isAnimationActive={false}
        />
      ))}
      {isChart && marks.map(({ label, day, value }) => (
        <ReferenceDot key={label} x={day} y={value} r={7} shape={({ cx = 0, cy = 0 }: { cx?: number; cy?: number }) => (
          <g transform={`translate(${cx}, ${cy})`} data-signal={label}>
            <path d={triangle} fill="var(--paper)" stroke="var(--ink)" strokeWidth={2} />
            <text x={-10} y={-6} textAnchor="end" fill="var(--ink)" fontSize={12} fontWeight={600}>{label}</text>
          </g>
        )} />
      ))}
    </ComposedChart>
  );
}
