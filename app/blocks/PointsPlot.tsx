'use client';
import { memo, useRef } from 'react';
import type { Provenance } from '../../lib/reports/csv';
import type { ProtectedTable } from '../../lib/reports/table';
import type { PointsFigure } from '../../lib/reports/visits/pointsFigure';
import { seriesColour } from '../parts/series';
import { FigureCaption } from './FigureCaption';
import { GroupShape, PointsChart } from './PointsChart';
import './PointsPlot.css';

const printWidth = 620;

interface Props { readonly figure: PointsFigure; readonly table: ProtectedTable; readonly provenance: Provenance; readonly source: string }

/** Estimates by visit; the same as numbers stands in the table that goes with it. What may not leave is not drawn for paper. */
export const PointsPlot = memo(function PointsPlot({ figure, table, provenance, source }: Props) {
  const paper = useRef<HTMLDivElement>(null), { name, title, caption, groups, marks } = figure;
  return (
    <figure className="points" aria-label={title}>
      <p className="legend" aria-hidden>
        {groups.map(({ label, position }) => (
          <span key={position}><svg width="14" height="14" fill={seriesColour(position)} stroke={seriesColour(position)}><GroupShape group={position} cx={7} cy={7} /></svg> {label}</span>
        ))}
      </p>
      <div className="screen" aria-hidden data-chart={name}><PointsChart figure={figure} marks={marks} /></div>
      <div className="paper" ref={paper} aria-hidden><PointsChart figure={figure} marks={marks.filter(({ staysInside }) => !staysInside)} width={printWidth} /></div>
      <FigureCaption
        name={name} title={title} caption={caption} paper={paper} table={table} provenance={provenance} source={source}
        legend={groups.map(({ label, position }) => ({ label, colour: seriesColour(position) }))}
      />
    </figure>
  );
});
