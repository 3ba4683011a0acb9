import type { Estimate } from '../../analysis/result';
import { isEstimate } from '../estimate';
import { isSmall } from '../smallCounts';
import { ticksFromZero } from '../ticks';
import type { FigureGroup } from '../timeFigure';

/** Estimates with limits, groups side by side at each visit. Heights are 0–100 from the bottom. */
export interface PointsFigure {
  readonly name: string; // names the file
  readonly title: string;
  readonly caption: string;
  readonly unit: string;
  readonly ticks: readonly { readonly at: number; readonly label: string }[];
  readonly places: readonly string[]; // visits, in order
  readonly groups: readonly FigureGroup[];
  readonly marks: readonly PointMark[];
}
export interface PointMark {
  readonly place: number;
  readonly group: number;
  readonly at: number;
  readonly from: number;
  readonly to: number;
  readonly text: string;
  readonly staysInside: boolean; // holds or reveals a small count of people
}

interface Point { readonly place: number; readonly group: number; readonly estimate: Estimate | { readonly reason: string }; readonly basis: readonly number[] }
interface Drawing extends Pick<PointsFigure, 'name' | 'title' | 'caption' | 'unit' | 'places' | 'groups'> {
  readonly points: readonly Point[];
  readonly format: (estimate: Estimate) => string;
}

/** An axis from 0, which signs and scores share, to what has to be shown; a percentage to no more than 100. */
export function pointsFigure({ points, format, ...drawing }: Drawing): PointsFigure {
  const known = points.flatMap(({ estimate, ...point }) => (isEstimate(estimate) && Number.isFinite(estimate.lower) && Number.isFinite(estimate.upper) ? [{ ...point, estimate }] : []));
  const least = Math.min(0, ...known.map(({ estimate }) => estimate.lower)), most = Math.max(...known.map(({ estimate }) => estimate.upper), drawing.unit === '%' ? 5 : 1);
  const up = ticksFromZero(drawing.unit === '%' ? Math.min(100, most) : most, 5), step = (up[1] ?? 1) - (up[0] ?? 0);
  const below = Array.from({ length: Math.ceil(-least / step) }, (_, i) => -(i + 1) * step).reverse(), ticks = [...below, ...up];
  const low = ticks[0] ?? 0, high = ticks.at(-1) ?? 1, place = (value: number) => Math.min(100, Math.max(0, (100 * (value - low)) / (high - low)));
  return {
    ...drawing,
    ticks: ticks.map((tick) => ({ at: place(tick), label: `${Math.round(tick * 100) / 100}`.replace('-', '−') })),
    marks: known.map(({ place: visit, group, estimate, basis }) => ({
      place: visit, group, at: place(estimate.value), from: place(estimate.lower), to: place(estimate.upper), text: format(estimate), staysInside: basis.some(isSmall),
    })),
  };
}
