'use client';
import type { ComparisonReport, EmptyReport } from '../../lib/reports/comparisonReport';
import { standingCautions } from '../../lib/reports/cautions';
import type { View } from '../../lib/contract/view';
import { DataTable } from '../parts/DataTable';
import { CurvesFigure } from './CurvesFigure';
import { HazardRatios } from './HazardRatios';
import { InWords } from './InWords';
import { WhoGotWhat } from './WhoGotWhat';
import './Answer.css';

interface Props {
  readonly report: ComparisonReport | EmptyReport;
  readonly pending: boolean;
  readonly view: View;
  readonly setView: (view: View) => void;
  readonly setReference: (group: string) => void;
}

/** The answer to the question, from the words down to the numbers behind them. */
export function Answer({ report, pending, view, setView, setReference }: Props) {
  if (report.status === 'empty') {
    return (
      <div className="answer" aria-busy={pending} data-pending={pending}>
        <p className="nothing" role="status">{report.reason}</p>
        <DataTable table={report.attrition} />
      </div>
    );
  }
  const { tables, provenance, notes } = report;
  return (
    <div className="answer" aria-busy={pending} data-pending={pending}>
      <p className="source">{report.source}.</p>
      <div className="beside">
        <InWords readings={report.readings} />
        <DataTable table={tables.attrition} provenance={provenance} note={false} />
      </div>
      {notes.length > 0 && <ul className="notes">{notes.map((note) => <li key={note}>{note}</li>)}</ul>}
      <section>
        <h2>The groups and their users</h2>
        <DataTable table={tables.groups} provenance={provenance} captionHidden />
        {report.comparability.map((sentence) => <p key={sentence} className="caution">{sentence}</p>)}
      </section>
      <section>
        <h2>Cumulative percent revision</h2>
        <CurvesFigure report={report} view={view} setView={setView} />
        <div className="beside">
          <DataTable table={tables.percent} provenance={provenance} />
          <div>
            <DataTable table={tables.rates} provenance={provenance} />
            <p>{report.logRank}</p>
          </div>
        </div>
      </section>
      <HazardRatios report={report} setReference={setReference} />
      <WhoGotWhat report={report} />
      <section>
        <h2>Before a decision rests on this</h2>
        <ul>{standingCautions.map((caution) => <li key={caution}>{caution}</li>)}</ul>
        <p className="source">Settings: {report.settings}.</p>
      </section>
    </div>
  );
}
