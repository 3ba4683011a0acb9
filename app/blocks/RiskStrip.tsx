import type { AxisTick } from '../../lib/reports/timeAxis';
import type { TimeFigure } from '../../lib/reports/timeFigure';
import { seriesColour, seriesDash } from '../parts/series';
import type { Places } from './plane/Plane';

const head = 22, perGroup = 33, axis = 44;

/** Height of the strip in CSS pixels. */
export const stripHeight = (groups: number): number => head + groups * perGroup;

interface Props extends Places { readonly ticks: readonly AxisTick[]; readonly figure: TimeFigure }

/** Numbers at risk under the ticks of the time axis. */
export function RiskStrip({ ticks, figure, plot, x: scale }: Props) {
  const top = plot.y + plot.height + axis;
  const columns = ticks.map(({ at }) => ({ at, x: scale(at), tick: figure.timeTicks.findIndex((t) => t.at === at) }));
  return (
    <g className="risk-strip" fontSize={11.5}>
      <text x={4} y={top + 13} fill="var(--ink-soft)">At risk</text>
      {figure.groups.map(({ label, position }, group) => {
        const y = top + head + group * perGroup;
        return (
          <g key={label}>
            <line x1={4} x2={30} y1={y + 9} y2={y + 9} stroke={seriesColour(position)} strokeWidth={2.5} strokeDasharray={seriesDash(position)} />
            <text x={37} y={y + 13} fill="var(--ink)">{label}</text>
            {columns.map(({ at, x, tick }) => (
              <text key={at} x={x} y={y + 28} textAnchor="middle" fill="var(--ink)" data-at={at}>{figure.atRisk[group]?.[tick]}</text>
            ))}
          </g>
        );
      })}
    </g>
  );
}
