'use client';
import type { PointerEvent } from 'react';
import { positionAt } from '../../lib/reports/positionAt';
import type { FigureLine, TimeReading } from '../../lib/reports/timeFigure';
import { seriesColour } from '../parts/series';
import type { Places } from './plane/Plane';

interface Props extends Places {
  readonly reading: TimeReading;
  readonly lines: readonly FigureLine[];
  readonly readings: number;
  readonly onRead: (position: number) => void;
}

/** Where all lines are being read; moves with the pointer. */
export function ReadingMarks({ reading, lines, readings, onRead, x, y, plot }: Props) {
  const at = x(reading.day);
  const follow = ({ clientX, currentTarget }: PointerEvent<SVGRectElement>) => {
    const { left, width } = currentTarget.getBoundingClientRect();
    onRead(positionAt(clientX, left, width, readings));
  };
  return (
    <g className="reading-marks">
      <line x1={at} x2={at} y1={plot.y} y2={plot.y + plot.height} stroke="var(--ink-soft)" strokeWidth={1} />
      {reading.lines.map(({ value }, i) => value !== null && (
        <circle key={i} cx={at} cy={y(value)} r={lines[i]?.thin === true ? 3 : 4} fill={seriesColour(lines[i]?.group ?? 0)} stroke="var(--paper)" strokeWidth={1.5} />
      ))}
      <rect {...plot} fill="transparent" onPointerMove={follow} onPointerDown={follow} />
    </g>
  );
}
