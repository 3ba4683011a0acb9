import Link from 'next/link';
import { memo, type CSSProperties } from 'react';
import type { Provenance } from '../../lib/reports/csv';
import type { Cell, ProtectedTable, ReportTable } from '../../lib/reports/table';
import { CsvButton } from './CsvButton';
import { GroupMark } from './GroupMark';
import { withCodes } from './withCodes';
import './DataTable.css';

interface Props {
  readonly table: ReportTable | ProtectedTable;
  readonly provenance?: Provenance;
  /** The table stands under a heading of its own. */
  readonly captionHidden?: boolean;
  readonly note?: boolean;
}

/** A table of a report. What may not leave the page is neither printed nor copied. */
export const DataTable = memo(function DataTable({ table, provenance, captionHidden = false, note = true }: Props) {
  const { name, title, method, columns, rows } = table;
  return (
    <div className="data-table" data-table={name}>
      <div className="scroll" role="region" aria-label={title} tabIndex={0}>
        <table className={columns.length > 12 ? 'wide widest' : columns.length > 7 ? 'wide' : undefined}>
          <caption className={captionHidden ? 'hidden-label' : undefined}>{title}</caption>
          <thead>
            <tr>
              {columns.map(({ label, numeric, group }) => (
                <th key={label} scope="col" className={numeric ? 'numeric' : undefined}>
                  {group !== undefined && <GroupMark group={group} />}{withCodes(label)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(({ block, group, cells }, r) => (
              <tr key={r} className={r > 0 && block !== rows[r - 1]?.block ? 'new-block' : undefined}>
                {cells.map((cell, c) => {
                  const Element = c === 0 ? 'th' : 'td';
                  return (
                    <Element
                      key={c} scope={c === 0 ? 'row' : undefined} data-value={cell.value} {...(cell.shade !== undefined && { 'data-shaded': true, style: { '--shade': cell.shade } as CSSProperties })}
                      className={columns[c]?.numeric === true ? (cell.value === undefined ? 'numeric reason' : 'numeric') : undefined}
                    >
                      {group !== undefined && columns[c]?.label === groupColumn(table) && <GroupMark group={group} />}
                      <CellText cell={cell} />
                    </Element>
                  );
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p className="about">
        {note && <span>{method} </span>}
        {provenance !== undefined && 'protected' in table && <CsvButton title={table.title} table={table} provenance={provenance} />}
      </p>
    </div>
  );
});

/** The column that names the group of a row. */
const groupColumn = ({ columns }: ReportTable): string | undefined => columns.find(({ label }) => label === 'Group' || label === 'Level')?.label;

function CellText({ cell: { text, outside, href } }: { readonly cell: Cell }) {
  const words = withCodes(text);
  if (href !== undefined) return href.startsWith('#') ? <a href={href}>{words}</a> : <Link href={href} prefetch={false}>{words}</Link>;
  if (outside === undefined) return <>{words}</>;
  return <><span className="inside">{words}</span><span className="outside" aria-hidden>{outside}</span></>;
}
