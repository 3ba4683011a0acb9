'use client';
import type { OwnCaseList } from '../../../lib/review/documents/letter';
import type { PrintedDocument, PrintedPart } from '../../../lib/review/documents/printedDocument';
import { Blocks } from '../../blocks/Blocks';
import '../../parts/answer.css';
import './documents.css';

/** One document as it is printed. */
export function Sheet({ title, facts, parts, signatures, ownCases = null }: PrintedDocument & { readonly ownCases?: OwnCaseList | null }) {
  return (
    <article className="sheet answer">
      <p className="confidential">Confidential: for those whom local governance admits. Not to be copied or passed on.</p>
      <h1>{title}</h1>
      <dl className="case-facts">{facts.map(({ label, text }) => <div key={label}><dt>{label}</dt><dd>{text}</dd></div>)}</dl>
      {parts.filter(({ heading }) => !heading.startsWith('Enclosed')).map((part) => <Part key={part.heading} part={part} />)}
      <div className="signatures">{signatures.map((role) => <p key={role}><span className="line" />{role}, date</p>)}</div>
      {ownCases !== null && <OwnCases list={ownCases} />}
      {parts.filter(({ heading }) => heading.startsWith('Enclosed')).map((part) => <Part key={part.heading} part={part} enclosed />)}
    </article>
  );
}

function Part({ part: { heading, blocks, lists = [], provenance = [], source = '' }, enclosed = false }: { readonly part: PrintedPart; readonly enclosed?: boolean }) {
  return (
    <section className={enclosed ? 'enclosed' : undefined}>
      <h2>{heading}</h2>
      <Blocks blocks={blocks} provenance={provenance} source={source} />
      {lists.length > 0 && <ul>{lists.map((item) => <li key={item}>{item}</li>)}</ul>}
      {source !== '' && <p className="source">{source}.</p>}
    </section>
  );
}

function OwnCases({ list: { columns, rows } }: { readonly list: OwnCaseList }) {
  return (
    <section className="enclosed">
      <h2>Enclosed: your own procedures to check</h2>
      <p>The numbers are those of the extract; only you can trace them to a patient. Every procedure is listed that counts as revised within the time asked for.</p>
      {rows.length === 0 ? <p>None is recorded as revised.</p> : (
        <table className="own-cases">
          <thead><tr>{columns.map((column) => <th key={column} scope="col">{column}</th>)}</tr></thead>
          <tbody>{rows.map((cells) => <tr key={cells[0]}>{cells.map((cell, i) => <td key={columns[i]}>{cell}</td>)}</tr>)}</tbody>
        </table>
      )}
    </section>
  );
}
