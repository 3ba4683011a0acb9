'use client';
import type { MonitorFigure, MonitorPanel } from '../../lib/reports/monitoring/monitorFigure';
import { seriesColour, seriesDash } from '../parts/series';
import { linePath } from './plane/paths';
import { Plane } from './plane/Plane';

interface Props {
  readonly figure: MonitorFigure;
  readonly part: 'chart' | 'counts';
  readonly on: 'screen' | 'paper';
  readonly few: boolean; // fewer ticks, for a narrow drawing
  readonly width?: number; // fixed, in CSS pixels
}

const left = 46, axisHeight = 26;
const triangle = 'M0,-7 L6.5,5 L-6.5,5 Z';

/** One of the two drawings of a chart over calendar time: the evidence with its limit, or revisions to date. */
export function MonitorChart({ figure, part, on, few, width }: Props) {
  const { firstDay, lastDay, limit, signals, resets } = figure, panel: MonitorPanel = figure[part], isChart = part === 'chart';
  const ticks = few ? figure.fewTimeTicks : figure.timeTicks;
  const marks = signals.flatMap(({ label, day, value, paper }) => (on === 'screen' ? [{ label, day, value }] : paper === null ? [] : [{ label, ...paper }]));
  return (
    <Plane
      width={width} height={(isChart ? 300 : 150) + axisHeight} margin={{ top: 16, right: 26, bottom: 0 }}
      across={{ from: firstDay, to: lastDay, ticks, space: axisHeight }}
      up={{ from: 0, to: panel.valueTicks.at(-1) ?? 1, ticks: panel.valueTicks.map((at) => ({ at, label: String(at) })), space: left }}
    >
      {({ x, y, plot, clip }) => (
        <>
          {panel.lines.map(({ label, group, points, paper }) => (
            <path
              key={label} data-line={label} clipPath={clip} fill="none" stroke={seriesColour(group)} strokeDasharray={seriesDash(group)} strokeWidth={isChart ? 1.5 : 2}
              d={linePath((on === 'screen' ? points : paper).map(({ day, value }) => [x(day), y(value)]), !isChart && group === 0 && on === 'screen')}
            />
          ))}
          {resets.map(({ label, day }) => (
            <g key={label}>
              <line x1={x(day)} x2={x(day)} y1={plot.y} y2={plot.y + plot.height} stroke="var(--ink-soft)" strokeDasharray="2 3" strokeWidth={1.5} />
              {isChart && <text x={x(day)} y={plot.y - 5} textAnchor="middle">{label}</text>}
            </g>
          ))}
          {isChart && (
            <>
              <line x1={plot.x} x2={plot.x + plot.width} y1={y(limit.value)} y2={y(limit.value)} stroke="var(--ink)" strokeDasharray="7 4" strokeWidth={1.5} />
              <text x={plot.x + 5} y={y(limit.value) - 5}>{limit.label}</text>
            </>
          )}
          {isChart && marks.map(({ label, day, value }) => (
            <g key={label} transform={`translate(${x(day)}, ${y(value)})`} data-signal={label}>
              <path d={triangle} fill="var(--paper)" stroke="var(--ink)" strokeWidth={2} />
              <text x={-10} y={-6} textAnchor="end" fontWeight={600}>{label}</text>
            </g>
          ))}
        </>
      )}
    </Plane>
  );
}
