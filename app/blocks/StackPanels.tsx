'use client';
import { useRef } from 'react';
import type { StackFigure } from '../../lib/reports/chapters/stackFigure';
import type { Provenance } from '../../lib/reports/csv';
import type { ProtectedTable } from '../../lib/reports/table';
import { seriesColour } from '../parts/series';
import { FigureCaption } from './FigureCaption';
import { bandPath } from './plane/paths';
import { Plane } from './plane/Plane';

interface Props { readonly figure: StackFigure; readonly table: ProtectedTable; readonly provenance: Provenance; readonly source: string }

/** Parts of a whole, one upon the other: a panel per group. */
export function StackPanels({ figure, table, provenance, source }: Props) {
  const paper = useRef<HTMLDivElement>(null);
  const { name, title, caption, layers, panels } = figure;
  const topDown = [...layers.keys()].reverse();
  const legend = topDown.map((layer) => ({ label: layers[layer] ?? '', colour: seriesColour(layer), opacity: opacityOf(layer) }));
  return (
    <figure className="panels" aria-label={title} data-chart={name}>
      <p className="legend">
        {topDown.map((layer) => (
          <span key={layer}><svg width="16" height="12" aria-hidden><rect width="16" height="12" {...fillOf(layer)} /></svg> {layers[layer]}</span>
        ))}
      </p>
      <div className="screen grid" aria-hidden>
        {panels.map((panel) => <div key={panel.title}><h4>{panel.title}</h4><StackChart figure={figure} panel={panel} /></div>)}
      </div>
      <div className="paper grid" ref={paper} aria-hidden>
        {panels.map((panel) => (
          <div key={panel.title} data-title={panel.title}>
            <h4>{panel.title}</h4>
            {panel.staysInside ? <p>Withheld: months or reasons with few revisions. Each reason by itself can be printed.</p> : <StackChart figure={figure} panel={{ ...panel, layers: panel.paper ?? panel.layers }} width={320} marked />}
          </div>
        ))}
      </div>
      <FigureCaption name={name} title={title} caption={caption} legend={legend} paper={paper} table={table} provenance={provenance} source={source} />
    </figure>
  );
}

/** Neighbours differ in strength as well as in colour. */
const opacityOf = (layer: number) => (layer % 2 === 0 ? 0.85 : 0.5);
const fillOf = (layer: number) => ({ fill: seriesColour(layer), fillOpacity: opacityOf(layer) });

/** `marked`: told at some months only, and straight between. */
function StackChart({ figure, panel, width, marked = false }: { readonly figure: StackFigure; readonly panel: StackFigure['panels'][number]; readonly width?: number; readonly marked?: boolean }) {
  const { fewTimeTicks, lastDay, valueTicks, timeLabel } = figure;
  return (
    <Plane
      width={width} height={250} margin={{ top: 12, right: 26, bottom: 0 }}
      across={{ from: 0, to: lastDay, ticks: fewTimeTicks, space: 44, title: timeLabel }}
      up={{ from: 0, to: valueTicks.at(-1) ?? 100, ticks: valueTicks.map((at) => ({ at, label: `${at}%` })), space: 46 }}
    >
      {({ x, y, clip }) => panel.layers.map(({ points }, layer) => (
        <path
          key={layer} clipPath={clip} stroke="var(--paper)" strokeWidth={0.75} {...fillOf(layer)}
          d={bandPath(points.map(({ day, band }) => [x(day), y(band[0]), y(band[1])]), !marked)}
        />
      ))}
    </Plane>
  );
}
