'use client';
import type { PointerEvent } from 'react';
import { usePlotArea, useXAxisScale, useYAxisScale } from 'recharts';
import type { CurveReading } from '../../lib/reports/curveFigure';
import { positionAt } from '../../lib/reports/positionAt';
import { seriesColour } from '../parts/series';

/** Where all groups are being read; moves with the pointer. */
export function ReadingMarks({ reading, readings, onRead }: { readonly reading: CurveReading; readonly readings: number; readonly onRead: (position: number) => void }) {
  const plot = usePlotArea(), x = useXAxisScale(), y = useYAxisScale();
  if (plot === undefined || x === undefined || y === undefined) return null;
  const at = x(reading.day);
  const follow = ({ clientX, currentTarget }: PointerEvent<SVGRectElement>) => {
    const { left, width } = currentTarget.getBoundingClientRect();
    onRead(positionAt(clientX, left, width, readings));
  };
  return (
    <g className="reading-marks">
      <line x1={at} x2={at} y1={plot.y} y2={plot.y + plot.height} stroke="var(--ink-soft)" strokeWidth={1} />
      {reading.groups.map(({ percent }, group) => percent !== null && (
        <circle key={group} cx={at} cy={y(percent)} r={4} fill={seriesColour(group)} stroke="var(--paper)" strokeWidth={1.5} />
      ))}
      <rect {...plot} fill="transparent" onPointerMove={follow} onPointerDown={follow} />
    </g>
  );
}
