'use client';
import { useRef } from 'react';
import { Area, CartesianGrid, ComposedChart, XAxis, YAxis } from 'recharts';
import type { StackFigure } from '../../lib/reports/chapters/stackFigure';
import type { Provenance } from '../../lib/reports/csv';
import type { ProtectedTable } from '../../lib/reports/table';
import { seriesColour } from '../parts/series';
import { FigureCaption } from './FigureCaption';

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
        {panels.map((panel) => <div key={panel.title}><h4>{panel.title}</h4>{panel.nothing === undefined ? <StackChart figure={figure} panel={panel} /> : <p className="soft">{panel.nothing}.</p>}</div>)}
      </div>
      <div className="paper grid" ref={paper} aria-hidden>
        {panels.map((panel) => (
          <div key={panel.title} data-title={panel.title}>
            <h4>{panel.title}</h4>
            {panel.nothing !== undefined ? <p>{panel.nothing}.</p> : panel.staysInside ? <p>Withheld: months or reasons with few revisions. Each reason by itself can be printed.</p> : <StackChart figure={figure} panel={{ ...panel, layers: panel.paper ?? panel.layers }} width={320} marked />}
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
const tick = { fill: 'var(--ink)', fontSize: 12 };

/** `marked`: told at some months only, and straight between. */
function StackChart({ figure, panel, width, marked = false }: { readonly figure: StackFigure; readonly panel: StackFigure['panels'][number]; readonly width?: number; readonly marked?: boolean }) {
  const { fewTimeTicks, lastDay, valueTicks, timeLabel, layers } = figure, height = 250;
  const labels = new Map(fewTimeTicks.map(({ at, label }) => [at, label]));
  return (
    <ComposedChart
      {...(width === undefined ? { responsive: true, style: { width: '100%', height } } : { width, height })}
      margin={{ top: 12, right: 26, bottom: 0, left: 0 }} accessibilityLayer={false}
    >
      <CartesianGrid vertical={false} stroke="var(--rule)" />
      <XAxis
        type="number" dataKey="day" domain={[0, lastDay]} allowDataOverflow ticks={fewTimeTicks.map(({ at }) => at)} interval={0} height={44}
        tickFormatter={(day: number) => labels.get(day) ?? ''} stroke="var(--ink)" tick={tick}
        label={{ value: timeLabel, position: 'insideBottom', offset: 2, fill: 'var(--ink-soft)', fontSize: 12 }}
      />
      <YAxis width={46} domain={[0, valueTicks.at(-1) ?? 100]} allowDataOverflow ticks={[...valueTicks]} interval={0} unit="%" stroke="var(--ink)" tick={tick} />
      {panel.layers.map(({ points }, layer) => (
        <Area
          key={layers[layer]} data={points} dataKey="band" name={layers[layer] ?? ''} type={marked ? 'linear' : 'stepAfter'} stroke="var(--paper)" strokeWidth={0.75} {...fillOf(layer)}
          isAnimationActive={false} activeDot={false}
        />
      ))}
    </ComposedChart>
  );
}
