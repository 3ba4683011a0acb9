'use client';
import { useRef } from 'react';
import type { Provenance } from '../../lib/reports/csv';
import type { ProtectedTable } from '../../lib/reports/table';
import type { TimeFigure } from '../../lib/reports/timeFigure';
import { GroupMark } from '../parts/GroupMark';
import { seriesColour, seriesDash } from '../parts/series';
import { CurveChart } from './CurveChart';
import { FigureCaption } from './FigureCaption';
import { PaperNote, paperLines } from './PaperNote';

interface Props {
  readonly name: string;
  readonly title: string;
  readonly caption: string;
  readonly panels: readonly TimeFigure[];
  readonly table: ProtectedTable;
  readonly provenance: Provenance;
  readonly source: string;
}

/** Small drawings on one scale beside each other. */
export function Panels({ name, title, caption, panels, table, provenance, source }: Props) {
  const paper = useRef<HTMLDivElement>(null), groups = panels[0]?.groups ?? [];
  const legend = groups.map(({ label, position }) => ({ label, colour: seriesColour(position), dash: seriesDash(position) }));
  return (
    <figure className="panels" aria-label={title} data-chart={name}>
      <p className="legend">{groups.map(({ label, position }) => <span key={label}><GroupMark group={position} />{label}</span>)}</p>
      <div className="screen grid" aria-hidden>
        {panels.map((panel) => <div key={panel.name}><h4>{panel.title}</h4><CurveChart figure={panel} lines={panel.lines} few small /></div>)}
      </div>
      <div className="paper grid" ref={paper} aria-hidden>
        {panels.map((panel) => <div key={panel.name} data-title={panel.title}><h4>{panel.title}</h4><CurveChart figure={panel} lines={panel.paper} few small width={320} marked={panel.shape === 'steps'} /></div>)}
      </div>
      <div className="paper"><PaperNote figures={panels} policy={table.policy} /></div>
      <FigureCaption name={name} title={title} caption={caption} legend={legend} paper={paper} notes={paperLines(panels, table.policy)} table={table} provenance={provenance} source={source} />
    </figure>
  );
}
