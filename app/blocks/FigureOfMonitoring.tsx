'use client';
import { memo, useRef } from 'react';
import type { Provenance } from '../../lib/reports/csv';
import type { MonitorFigure } from '../../lib/reports/monitoring/monitorFigure';
import type { ProtectedTable } from '../../lib/reports/table';
import { GroupMark } from '../parts/GroupMark';
import { seriesColour, seriesDash } from '../parts/series';
import { useNarrow } from '../parts/useNarrow';
import { FigureCaption } from './FigureCaption';
import { MonitorChart } from './MonitorChart';
import './FigureOfMonitoring.css';

const printWidth = 660;

interface Props { readonly figure: MonitorFigure; readonly table: ProtectedTable; readonly provenance: Provenance; readonly source: string }

/** A chart over calendar time with the revisions to date under it, on the screen, in print and as a file. */
export const FigureOfMonitoring = memo(function FigureOfMonitoring({ figure, table, provenance, source }: Props) {
  const paper = useRef<HTMLDivElement>(null), narrow = useNarrow();
  const titles = { chart: 'Cumulative sum of evidence', counts: 'Revisions to date' } as const, parts = ['chart', 'counts'] as const;
  const legend = figure.counts.lines.map(({ label, group }) => ({ label, colour: seriesColour(group), dash: seriesDash(group) }));
  const heading = (part: 'chart' | 'counts') => (
    <p className="panel-title">
      <strong>{titles[part]}</strong>
      {part === 'counts' && figure.counts.lines.map(({ label, group }) => <span key={label}><GroupMark group={group} />{label}</span>)}
    </p>
  );
  return (
    <figure className="monitoring-figure" aria-label={figure.title}>
      <p className="hidden-label">{figure.spoken}</p>
      <div className="screen" aria-hidden data-chart={figure.name}>
        {parts.map((part) => <div key={part}>{heading(part)}<MonitorChart figure={figure} part={part} on="screen" few={narrow} /></div>)}
      </div>
      <div className="paper" ref={paper} aria-hidden>
        {parts.map((part) => <div key={part} data-title={titles[part]}>{heading(part)}<MonitorChart figure={figure} part={part} on="paper" few={false} width={printWidth} /></div>)}
      </div>
      <FigureCaption name={figure.name} title={figure.title} caption={figure.caption} legend={legend} paper={paper} table={table} provenance={provenance} source={source} />
    </figure>
  );
});
