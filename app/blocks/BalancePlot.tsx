'use client';
import type { BalanceFigure } from '../../lib/reports/chapters/balanceFigure';
import type { Provenance } from '../../lib/reports/csv';
import type { ProtectedTable } from '../../lib/reports/table';
import { DataTable } from '../parts/DataTable';

type Row = BalanceFigure['rows'][number];
const percent = (place: number) => `${place}%`;

/** How far the groups differ in each characteristic before weighting (hollow) and after (full). */
export function BalancePlot({ figure, table, provenance }: { readonly figure: BalanceFigure; readonly table: ProtectedTable; readonly provenance: Provenance }) {
  return (
    <>
      <div className="balance" role="region" aria-label={figure.title} tabIndex={0}>
        <table>
          <caption className="hidden-label">{figure.title}</caption>
          <thead>
            <tr>
              <th scope="col">Characteristic</th><th scope="col">Level</th>
              <th scope="col" className="drawing"><span aria-hidden>○ before · ● after weighting</span><span className="hidden-label">Drawing</span></th>
              <th scope="col" className="numeric">Before</th><th scope="col" className="numeric">After</th>
            </tr>
          </thead>
          <tbody>{figure.rows.map((row, i) => <BalanceRow key={i} row={row} threshold={figure.threshold} />)}</tbody>
          <tfoot><tr aria-hidden><td /><td /><td className="drawing"><Axis ticks={figure.ticks} /></td><td /><td /></tr></tfoot>
        </table>
      </div>
      <details>
        <summary>As a table: {table.title}</summary>
        <DataTable table={table} provenance={provenance} captionHidden />
      </details>
    </>
  );
}

function BalanceRow({ row: { label, level, newBlock, before, after, staysInside = false }, threshold }: { readonly row: Row; readonly threshold: number }) {
  const guarded = (words: string) => (staysInside ? <><span className="inside">{words}</span><span className="outside" aria-hidden>withheld</span></> : words);
  return (
    <tr className={newBlock ? 'new-block' : undefined} data-before={before.value} data-after={after.value}>
      <th scope="row">{label}</th><td>{level}</td>
      <td className="drawing">
        <svg aria-hidden className={staysInside ? 'inside' : undefined} width="100%" height="16">
          <line x1={percent(threshold)} x2={percent(threshold)} y1="0" y2="16" stroke="var(--ink-soft)" strokeDasharray="2 2" />
          <line x1={percent(after.at)} x2={percent(before.at)} y1="8" y2="8" stroke="var(--rule)" strokeWidth="1.5" />
          <circle cx={percent(before.at)} cy="8" r="4" fill="var(--paper)" stroke="var(--accent)" strokeWidth="1.5" />
          <circle cx={percent(after.at)} cy="8" r="4" fill="var(--accent)" stroke="var(--accent)" strokeWidth="1.5" />
          {before.runsOff && <text x="100%" y="12" textAnchor="end" fontSize="12" fill="var(--accent)">▸</text>}
        </svg>
      </td>
      <td className="numeric">{guarded(before.text)}</td><td className="numeric">{guarded(after.text)}</td>
    </tr>
  );
}

const Axis = ({ ticks }: Pick<BalanceFigure, 'ticks'>) => (
  <svg width="100%" height="26" className="axis">
    <line x1="0" x2="100%" y1="0.5" y2="0.5" stroke="var(--ink)" />
    {ticks.map(({ at, label }) => (
      <g key={label}>
        <line x1={percent(at)} x2={percent(at)} y1="0" y2="5" stroke="var(--ink)" />
        <text x={percent(at)} y="18" textAnchor="middle" fontSize="12" fill="var(--ink)">{label}</text>
      </g>
    ))}
  </svg>
);
