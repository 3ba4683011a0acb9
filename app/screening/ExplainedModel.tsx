'use client';
import Link from 'next/link';
import { useMemo } from 'react';
import type { ChosenComponent, ScreeningQuestion } from '../../lib/contract/screeningQuestion';
import type { ExplainedReport, ExplainedView, NotExplainedReport } from '../../lib/reports/screening/explainedReport';
import { capital } from '../../lib/reports/phrases';
import { Blocks } from '../blocks/Blocks';
import { DataTable } from '../parts/DataTable';
import { Problems } from '../parts/Problems';
import { ProgressLine } from '../parts/ProgressLine';
import { useWorked, type AskWorker } from '../parts/useWorked';
import { OpenCaseButton } from '../review/OpenCaseButton';
import { useUnitsSession } from '../shell/UnitsSession';

interface Request { readonly question: ScreeningQuestion; readonly chosen: ChosenComponent; readonly view: ExplainedView }
const askWorker: AskWorker<Request, ExplainedReport | NotExplainedReport> = (worker, { question, chosen, view }, onProgress) => worker.explained(question, chosen, view, onProgress);

/** What lies behind one model; what people decide about it begins with the question that they raise. */
export function ExplainedModel({ question, chosen, source }: { readonly question: ScreeningQuestion; readonly chosen: ChosenComponent; readonly source: string }) {
  const { names, showNames } = useUnitsSession();
  const request = useMemo((): Request => ({ question, chosen, view: { names } }), [question, chosen, names]);
  const { report, failed, progress } = useWorked(request, askWorker);
  return (
    <div className="explained" aria-busy={progress !== null} data-pending={progress !== null}>
      {failed !== null && <Problems heading="The model could not be looked into" problems={[failed]} />}
      {progress !== null && <ProgressLine label={progress.label} fraction={progress.fraction} />}
      {report?.status === 'empty' && <p className="nothing" role="status">{report.reason}</p>}
      {report?.status === 'ok' && (
        <>
          <p className="looked-at">{capital(report.label)}</p>
          <ul className="ways">
            <li><Link href={`/?${report.comparison}`} prefetch={false}>The whole comparison with all others of its kind</Link></li>
            <li><Link href={`/monitoring/?${report.overTime}`} prefetch={false}>Its revisions over calendar time</Link></li>
          </ul>
          {report.notes.length > 0 && <ul className="notes">{report.notes.map((note) => <li key={note}>{note}</li>)}</ul>}
          <label className="names">
            <input type="checkbox" checked={names} onChange={(event) => { showNames(event.currentTarget.checked); }} />
            Show the identifiers of hospitals and surgeons, for this session; they are never printed or saved
          </label>
          <Blocks blocks={report.blocks} provenance={report.provenance} source={source} />
          <OpenCaseButton evidence={report.evidence} />
          <details className="methods">
            <summary>How these numbers were made</summary>
            <p>{report.basis}. {source}.</p>
            <ul>{report.methods.map((method) => <li key={method}>{method.replace(/\.$/, '')}.</li>)}</ul>
            <DataTable table={report.attrition} provenance={report.provenance} />
          </details>
        </>
      )}
    </div>
  );
}
