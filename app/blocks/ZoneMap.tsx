'use client';
import { memo, useRef } from 'react';
import type { Provenance } from '../../lib/reports/csv';
import type { ProtectedTable } from '../../lib/reports/table';
import type { DrawnZone, ZoneFigure } from '../../lib/reports/visits/zoneFigure';
import { GroupMark } from '../parts/GroupMark';
import { FigureCaption } from './FigureCaption';
import { outlines, zoneBoxes } from './zoneShapes';
import './ZoneMap.css';

interface Props { readonly figure: ZoneFigure; readonly table: ProtectedTable; readonly provenance: Provenance; readonly source: string }

/** Our own scheme of the bone around a component, a drawing per group: the number in each zone, its ground shaded alike. */
export const ZoneMap = memo(function ZoneMap({ figure, table, provenance, source }: Props) {
  const paper = useRef<HTMLDivElement>(null), { name, title, caption, panels, structure } = figure;
  const drawn = (outside: boolean) => panels.map(({ label, position, read, readStaysInside, zones }) => (
    <div key={position} data-title={label}>
      <p className="panel-title"><GroupMark group={position} />{label}<span className="read">{outside && readStaysInside ? '–' : read}</span></p>
      <Scheme structure={structure} zones={zones} outside={outside} />
    </div>
  ));
  return (
    <figure className="zones" aria-label={title}>
      <p className="map-title" aria-hidden>{title}</p>
      <div className="screen maps" aria-hidden data-chart={name}>{drawn(false)}</div>
      <div className="paper maps" ref={paper} aria-hidden>{drawn(true)}</div>
      <FigureCaption name={name} title={title} caption={`${caption} A dash: not read, or withheld outside this page.`} paper={paper} table={table} provenance={provenance} source={source} />
    </figure>
  );
});

function Scheme({ structure, zones, outside }: { readonly structure: ZoneFigure['structure']; readonly zones: readonly DrawnZone[]; readonly outside: boolean }) {
  const boxes = zoneBoxes[structure];
  return (
    <svg className="drawing" width="220" height="270" fontSize="12" fontFamily="sans-serif">
      {outlines[structure].map(({ d, solid }) => <path key={d} d={d} fill={solid ? 'var(--rule)' : 'none'} stroke="var(--ink-soft)" strokeWidth="1.4" />)}
      {zones.map(({ zone, label, text, shade, staysInside }) => {
        const box = boxes[zone];
        if (box === undefined) return null;
        const hidden = outside && staysInside, [x, y, width, height] = box;
        return (
          <g key={zone} data-zone={zone}>
            <title>{`${label}: ${hidden ? 'withheld' : text}`}</title>
            <rect x={x} y={y} width={width} height={height} rx="3" fill="var(--accent)" fillOpacity={hidden ? 0 : 0.03 + 0.45 * shade} stroke="var(--ink-soft)" strokeWidth="0.8" />
            <text x={x + width / 2} y={y + height / 2 + 4} textAnchor="middle" fill="var(--ink)">{hidden ? '–' : text}</text>
          </g>
        );
      })}
    </svg>
  );
}
