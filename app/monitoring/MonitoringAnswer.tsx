'use client';
import { monitoringCautions } from '../../lib/reports/monitoring/monitoringCautions';
import type { MonitoringReport, NotMonitoredReport } from '../../lib/reports/monitoring/monitoringReport';
import type { OverviewReport } from '../../lib/reports/monitoring/overviewReport';
import { Blocks } from '../blocks/Blocks';
import { Contents } from '../parts/Contents';
import { DataTable } from '../parts/DataTable';
import { OpenCaseButton } from '../review/OpenCaseButton';
import '../parts/answer.css';
import './monitoring.css';

const cautions = { id: 'cautions', heading: 'Before a decision rests on this' };

/** The chart, or all charts, from the words down to the numbers and how they were made. */
export function MonitoringAnswer({ report, pending }: { readonly report: MonitoringReport | OverviewReport | NotMonitoredReport; readonly pending: boolean }) {
  if (report.status === 'empty') {
    return (
      <div className="answer" aria-busy={pending} data-pending={pending}>
        <p className="nothing" role="status">{report.reason}</p>
        {report.attrition.rows.length > 0 && <DataTable table={report.attrition} />}
      </div>
    );
  }
  const { source, sections, provenance, notes, settings, basis, methods, attrition } = report, evidence = report.about === 'one' ? report.evidence : null;
  return (
    <div className="answer monitoring-answer" aria-busy={pending} data-pending={pending} data-about={report.about}>
      <p className="source">{source}.</p>
      {report.about === 'one' && <p className="looked-at">{report.label}</p>}
      <Contents parts={[...sections, cautions]} />
      {notes.length > 0 && <ul className="notes">{notes.map((note) => <li key={note}>{note}</li>)}</ul>}
      {sections.map(({ id, heading, blocks }) => (
        <section key={id} id={id} className={id === 'in-words' ? 'in-words' : undefined}>
          <h2>{heading}</h2>
          <Blocks blocks={blocks} provenance={provenance} source={source} />
          {id === 'in-words' && evidence !== null && <OpenCaseButton evidence={evidence} />}
        </section>
      ))}
      <section id={cautions.id}>
        <h2>{cautions.heading}</h2>
        <ul>{monitoringCautions.map((caution) => <li key={caution}>{caution}</li>)}</ul>
        <details className="methods">
          <summary>How these numbers were made</summary>
          <p>{basis}. {source}.</p>
          <ul>{methods.map((method) => <li key={method}>{method}.</li>)}</ul>
          <DataTable table={attrition} provenance={provenance} />
        </details>
        <p className="source">Settings: {settings}.</p>
      </section>
    </div>
  );
}
