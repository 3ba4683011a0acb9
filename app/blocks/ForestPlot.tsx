import { memo } from 'react';
import type { ForestFigure, ForestPart, ForestRow } from '../../lib/reports/forest';
import { GroupMark } from '../parts/GroupMark';
import { withCodes } from '../parts/withCodes';
import { seriesColour } from '../parts/series';
import './ForestPlot.css';

const percent = (place: number) => `${place}%`;

interface Props {
  readonly figure: ForestFigure;
  readonly title: string;
  readonly name?: string; // of one of the further parts of the answer
}

/** Hazard ratios as a table with their limits drawn on one logarithmic axis. The roles hold where a narrow page breaks rows in two. */
export const ForestPlot = memo(function ForestPlot({ figure, title, name }: Props) {
  const tested = figure.parts.some(({ rows }) => rows.some(({ p }) => p !== ''));
  return (
    <div className="forest" role="region" aria-label={title} tabIndex={0}>
      <table role="table" data-table={name === undefined ? 'forest' : undefined} data-forest={name}>
        <caption className="hidden-label">{title}</caption>
        <thead role="rowgroup">
          <tr role="row">
            <th role="columnheader" scope="col">{figure.columns.row}</th><th role="columnheader" scope="col" className="counts">{figure.columns.counts}</th>
            <th role="columnheader" scope="col" className="drawing"><span className="sides" aria-hidden><span>← fewer {figure.columns.events}</span><span>more {figure.columns.events} →</span></span><span className="hidden-label">Drawing</span></th>
            <th role="columnheader" scope="col">{figure.columns.ratio}</th>{tested && <th role="columnheader" scope="col" className="p">p</th>}
          </tr>
        </thead>
        {figure.parts.map((part) => <Part key={part.key} part={part} figure={figure} tested={tested} />)}
        <tfoot>
          <tr aria-hidden className="row"><td /><td className="counts" /><td className="drawing"><Axis figure={figure} /></td><td className="ratio" />{tested && <td className="p" />}</tr>
        </tfoot>
      </table>
    </div>
  );
});

function Part({ part: { heading, note, demoted, rows }, figure, tested }: { readonly part: ForestPart; readonly figure: ForestFigure; readonly tested: boolean }) {
  return (
    <tbody role="rowgroup" className={demoted ? 'demoted' : undefined} data-demoted={demoted}>
      <tr role="row"><th role="rowheader" colSpan={tested ? 5 : 4} scope="rowgroup" className="heading">{withCodes(heading)}{note !== null && <>{'. '}<span className="note">{note}</span></>}</th></tr>
      {rows.map((row) => <Row key={row.key} row={row} unity={figure.unity} tested={tested} />)}
    </tbody>
  );
}

function Row({ row: { key, label, detail, group, counts, text, p, mark, numbers, staysInside }, unity, tested }: { readonly row: ForestRow; readonly unity: number; readonly tested: boolean }) {
  const guarded = (words: string) => (staysInside && words !== '' ? <><span className="inside">{words}</span><span className="outside" aria-hidden>withheld</span></> : words);
  return (
    <tr role="row" className="row" data-row={key} data-hr={numbers?.value} data-lower={numbers?.lower} data-upper={numbers?.upper} data-p={numbers?.p}>
      <th role="rowheader" scope="row">{group !== null && <GroupMark group={group} />}{withCodes(label)}{detail !== null && <span className="detail">{detail}</span>}</th>
      <td role="cell" className="counts">{guarded(counts)}</td>
      <td role="cell" className="drawing">
        <svg aria-hidden className={staysInside ? 'inside' : undefined} width="100%" height="18">
          <line x1={percent(unity)} x2={percent(unity)} y1="0" y2="18" stroke="var(--ink-soft)" strokeWidth="1" />
          {mark !== null && <Mark mark={mark} colour={group === null ? 'var(--ink-soft)' : seriesColour(group)} />}
        </svg>
      </td>
      <td role="cell" className={mark === null ? 'ratio reason' : 'ratio'}>{guarded(text)}</td>
      {tested && <td role="cell" className="p">{guarded(p)}</td>}
    </tr>
  );
}

function Mark({ mark: { at, from, to, runsOffLeft, runsOffRight }, colour }: { readonly mark: NonNullable<ForestRow['mark']>; readonly colour: string }) {
  return (
    <g stroke={colour} fill={colour}>
      <line x1={percent(from)} x2={percent(to)} y1="9" y2="9" strokeWidth="2" />
      {runsOffLeft ? <text x={percent(from)} y="13" stroke="none" textAnchor="start">◂</text> : <line x1={percent(from)} x2={percent(from)} y1="5" y2="13" strokeWidth="2" />}
      {runsOffRight ? <text x={percent(to)} y="13" stroke="none" textAnchor="end">▸</text> : <line x1={percent(to)} x2={percent(to)} y1="5" y2="13" strokeWidth="2" />}
      <circle cx={percent(at)} cy="9" r="4" stroke="none" />
    </g>
  );
}

function Axis({ figure: { ticks } }: { readonly figure: ForestFigure }) {
  return (
    <svg width="100%" height="26" className="axis">
      <line x1="0" x2="100%" y1="0.5" y2="0.5" stroke="var(--ink)" />
      {ticks.map(({ at, label, minor }) => (
        <g key={label} className={minor ? 'minor' : undefined}>
          <line x1={percent(at)} x2={percent(at)} y1="0" y2="5" stroke="var(--ink)" />
          <text x={percent(at)} y="18" textAnchor="middle" fontSize="12" fill="var(--ink)">{label}</text>
        </g>
      ))}
    </svg>
  );
}
