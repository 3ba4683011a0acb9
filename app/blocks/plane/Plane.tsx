'use client';
import { useId, useRef, type ReactNode } from 'react';
import { useWidth } from './useWidth';

/** One of the two axes, from its least to its largest value. */
export interface PlaneAxis {
  readonly from: number;
  readonly to: number;
  readonly ticks: readonly { readonly at: number; readonly label: string }[];
  readonly space: number; // CSS pixels for its labels
  readonly scale?: 'linear' | 'log';
  readonly title?: string | undefined; // what its values are
}

/** Ticks that say their value. */
export const ticksAt = (values: readonly number[], unit = ''): PlaneAxis['ticks'] => values.map((at) => ({ at, label: `${at}${unit}` }));

/** Where values lie in the drawing, in CSS pixels. */
export interface Places {
  readonly x: (value: number) => number;
  readonly y: (value: number) => number;
  readonly plot: { readonly x: number; readonly y: number; readonly width: number; readonly height: number };
  /** For `clipPath`: what lies beyond the axes is not drawn. */
  readonly clip: string;
}

interface Props {
  readonly across: PlaneAxis & { readonly title: string };
  readonly up: PlaneAxis;
  readonly height: number;
  /** Fixed, in CSS pixels; without it the drawing fills its box. */
  readonly width?: number | undefined;
  readonly margin: { readonly top: number; readonly right: number; readonly bottom: number };
  readonly children: (places: Places) => ReactNode;
}

const fontSize = 12, tickLength = 6, gap = 2, titleHeight = 20;

const farOff = 100; // lengths of the axis: what has no place on a logarithmic one, such as 0, is drawn as if there
const scaled = ({ scale = 'linear' }: PlaneAxis, value: number): number => (scale === 'linear' ? value : value > 0 ? Math.log(value) : -Infinity);

/** How far a value lies along the axis: 0 at its beginning, 1 at its end. */
function along(axis: PlaneAxis, value: number): number {
  const [from, to] = [scaled(axis, axis.from), scaled(axis, axis.to)];
  return Math.max(-farOff, Math.min(farOff, (scaled(axis, value) - from) / (to - from)));
}

/** Two axes with their ticks and a line across at each tick of the one that goes up; between them what `children` draw. */
export function Plane({ width, height, ...drawing }: Props) {
  const box = useRef<HTMLDivElement>(null), found = useWidth(box), shown = width ?? found;
  return <div ref={box} style={{ height }}>{shown > 0 && <Drawing {...drawing} width={shown} height={height} />}</div>;
}

function Drawing({ across, up, width, height, margin, children }: Props & { readonly width: number }) {
  const clip = `plane-${useId()}`;
  const top = margin.top + (up.title === undefined ? 0 : titleHeight);
  const plot = { x: up.space, y: top, width: Math.max(0, width - up.space - margin.right), height: Math.max(0, height - top - margin.bottom - across.space) };
  const right = plot.x + plot.width, foot = plot.y + plot.height;
  const x = (value: number) => plot.x + along(across, value) * plot.width, y = (value: number) => foot - along(up, value) * plot.height;
  return (
    <svg className="drawing" width={width} height={height} style={{ display: 'block' }} fontSize={fontSize} fill="var(--ink)">
      <defs><clipPath id={clip}><rect {...plot} /></clipPath></defs>
      {up.ticks.map(({ at }) => <line key={at} x1={plot.x} x2={right} y1={y(at)} y2={y(at)} stroke="var(--rule)" />)}
      {children({ x, y, plot, clip: `url(#${clip})` })}
      <path d={`M${plot.x},${plot.y}V${foot}H${right}`} fill="none" stroke="var(--ink)" />
      {across.ticks.map(({ at, label }) => (
        <g key={at}>
          <line x1={x(at)} x2={x(at)} y1={foot} y2={foot + tickLength} stroke="var(--ink)" />
          <text x={x(at)} y={foot + tickLength + gap} dy="0.71em" textAnchor="middle">{label}</text>
        </g>
      ))}
      <text x={plot.x + plot.width / 2} y={foot + across.space - gap} textAnchor="middle" fill="var(--ink-soft)">{across.title}</text>
      {up.title !== undefined && <text x={gap} y={margin.top} fill="var(--ink-soft)">{up.title}</text>}
      {up.ticks.map(({ at, label }) => (
        <g key={at}>
          <line x1={plot.x - tickLength} x2={plot.x} y1={y(at)} y2={y(at)} stroke="var(--ink)" />
          <text x={plot.x - tickLength - gap} y={y(at)} dy="0.355em" textAnchor="end">{label}</text>
        </g>
      ))}
    </svg>
  );
}
