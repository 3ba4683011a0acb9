'use client';
import { memo } from 'react';
import type { NoVisitsReport, VisitsReport } from '../../lib/reports/visits/visitsReport';
import { Blocks } from '../blocks/Blocks';
import { Contents } from '../parts/Contents';
import { FrozenPlan } from '../parts/FrozenPlan';
import '../parts/answer.css';

const cautionsPart = { id: 'cautions', heading: 'Before a decision rests on this' };

/** From who came to what was seen and what it may mean for revision. A plan that was frozen stands above its results. */
export const VisitsAnswer = memo(function VisitsAnswer({ report, pending }: { readonly report: VisitsReport | NoVisitsReport; readonly pending: boolean }) {
  if (report.status === 'empty') {
    return <div className="answer" aria-busy={pending} data-pending={pending}><p className="nothing" role="status">{report.reason}</p></div>;
  }
  const { source, sections, provenance, notes, settings, basis, methods, cautions } = report;
  return (
    <div className="answer visits-answer" aria-busy={pending} data-pending={pending}>
      <p className="source">{source}.</p>
      <FrozenPlan />
      <Contents parts={[...sections, cautionsPart]} />
      {notes.length > 0 && <ul className="notes">{notes.map((note) => <li key={note}>{note}</li>)}</ul>}
      {sections.map(({ id, heading, blocks }) => (
        <section key={id} id={id}>
          <h2>{heading}</h2>
          <Blocks blocks={blocks} provenance={provenance} source={source} />
        </section>
      ))}
      <section id={cautionsPart.id}>
        <h2>{cautionsPart.heading}</h2>
        <ul>{cautions.map((caution) => <li key={caution}>{caution}</li>)}</ul>
        <details className="methods">
          <summary>How these numbers were made</summary>
          <p>{basis}. {source}.</p>
          <ul>{methods.map((method) => <li key={method}>{method.replace(/\.$/, '')}.</li>)}</ul>
        </details>
        <p className="source">Settings: {settings}.</p>
      </section>
    </div>
  );
});
