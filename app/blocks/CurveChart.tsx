'use client';
import { memo } from 'react';
import type { FigureLine, TimeFigure, TimeReading } from '../../lib/reports/timeFigure';
import { seriesColour, seriesDash } from '../parts/series';
import { bandPath, linePath } from './plane/paths';
import { Plane, ticksAt, type Places } from './plane/Plane';
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

/** Lines against time since surgery with their bands, and the numbers at risk under their times. */
export const CurveChart = memo(function CurveChart({ figure, lines, few, width, marked = false, small = false, reading, onRead }: Props) {
  const { lastDay, valueTicks, unit, valueLabel, nothing, scale, even, shape, bands, timeLabel } = figure;
  const ticks = few ? figure.fewTimeTicks : figure.timeTicks;
  const strip = small ? 0 : stripHeight(figure.groups.length);
  const stepped = shape === 'steps' && !marked;
  return (
    <Plane
      width={width} height={(small ? 160 : 340) + axisHeight + strip} margin={{ top: 12, right: 26, bottom: strip }}
      across={{ from: 0, to: lastDay, ticks, space: axisHeight, title: timeLabel }}
      up={{ from: valueTicks[0] ?? 0, to: valueTicks.at(-1) ?? 100, ticks: ticksAt(valueTicks, unit), space: left, scale, title: valueLabel }}
    >
      {(places) => (
        <>
          <Lines lines={lines} bands={bands} even={even} stepped={stepped} marked={marked} {...places} />
          {nothing !== undefined && <text x={places.plot.x + places.plot.width / 2} y={places.plot.y + places.plot.height / 2} textAnchor="middle" fill="var(--ink-soft)">{nothing}</text>}
          {!small && <RiskStrip ticks={ticks} figure={figure} {...places} />}
          {reading !== undefined && onRead !== undefined && <ReadingMarks reading={reading} lines={lines} readings={figure.readings.length} onRead={onRead} {...places} />}
        </>
      )}
    </Plane>
  );
});

interface LinesProps extends Places, Pick<TimeFigure, 'lines' | 'bands' | 'even'> { readonly stepped: boolean; readonly marked: boolean }

function Lines({ lines, bands, even, stepped, marked, x, y, plot, clip }: LinesProps) {
  return (
    <>
      {bands && lines.map(({ group, thin, points }, i) => !thin && (
        <path
          key={i} data-band={i} clipPath={clip} fill={seriesColour(group)} fillOpacity={0.14}
          d={bandPath(points.map(({ day, band }) => (band === null ? null : [x(day), y(band[0]), y(band[1])])), stepped)}
        />
      ))}
      {even !== null && <line x1={plot.x} x2={plot.x + plot.width} y1={y(even)} y2={y(even)} stroke="var(--ink-soft)" />}
      {lines.map(({ label, group, thin, points }, i) => {
        const at = points.map(({ day, value }) => (value === null ? null : [x(day), y(value)] as const));
        return (
          <g key={i} stroke={seriesColour(group)} strokeWidth={thin ? 1 : 2} strokeOpacity={thin ? 0.75 : 1}>
            <path data-line={label} clipPath={clip} fill="none" strokeDasharray={seriesDash(group)} d={linePath(at, stepped)} />
            {marked && points.length <= mostMarked && at.map((place, p) => place !== null && <circle key={p} cx={place[0]} cy={place[1]} r={2.5} fill="var(--paper)" />)}
          </g>
        );
      })}
    </>
  );
}
