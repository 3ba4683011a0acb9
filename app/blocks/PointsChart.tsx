'use client';
import type { PointMark, PointsFigure } from '../../lib/reports/visits/pointsFigure';
import { seriesColour } from '../parts/series';
import { Plane, type Places } from './plane/Plane';

interface Props {
  readonly figure: PointsFigure;
  readonly marks: readonly PointMark[];
  /** Fixed size in CSS pixels; without it the drawing fills its box. */
  readonly width?: number;
}

/** Estimates with their limits, groups side by side at each visit. */
export function PointsChart({ figure: { places: visits, ticks, groups, unit }, marks, width }: Props) {
  return (
    <Plane
      width={width} height={260} margin={{ top: 12, right: 12, bottom: 0 }}
      across={{ from: -0.5, to: visits.length - 0.5, ticks: visits.map((label, at) => ({ at, label })), space: 30 }}
      up={{ from: 0, to: 100, ticks, space: 52, title: unit }}
    >
      {(places) => (
        <>
          {ticks.filter(({ label }) => label === '0').map(({ at }) => <line key={at} x1={places.plot.x} x2={places.plot.x + places.plot.width} y1={places.y(at)} y2={places.y(at)} stroke="var(--ink)" />)}
          <Marks marks={marks} groups={groups.length} {...places} />
        </>
      )}
    </Plane>
  );
}

function Marks({ marks, groups, x, y }: Places & { readonly marks: readonly PointMark[]; readonly groups: number }) {
  const spread = Math.min(0.14, 0.7 / groups);
  return (
    <g className="point-marks">
      {marks.map(({ place, group, at, from, to }, i) => {
        const cx = x(place + (group - (groups - 1) / 2) * spread), [middle, low, high] = [y(at), y(from), y(to)], colour = seriesColour(group);
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
