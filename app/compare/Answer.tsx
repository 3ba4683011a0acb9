'use client';
import type { ComparisonReport, EmptyReport } from '../../lib/reports/comparisonReport';
import type { FirstReport } from '../../lib/reports/firstReport';
import { standingCautions } from '../../lib/reports/cautions';
import { whoGotWhat } from '../../lib/reports/chapters/sections';
import type { View } from '../../lib/contract/view';
import { DataTable } from '../parts/DataTable';
import { ChapterBody } from './chapters/ChapterBody';
import { Contents } from '../parts/Contents';
import { FrozenPlan } from '../parts/FrozenPlan';
import type { Chapters } from './chapters/useChapters';
import { CurvesFigure } from './CurvesFigure';
import { HazardRatios } from './HazardRatios';
import { InWords } from './InWords';
import { WhoGotWhat } from './WhoGotWhat';
import '../parts/answer.css';

interface Props {
  readonly report: ComparisonReport | EmptyReport | FirstReport;
  readonly chapters: Chapters;
  readonly pending: boolean;
  readonly view: View;
  readonly setView: (view: View) => void;
  readonly setReference: (group: string) => void;
}

const groups = { id: 'groups', heading: 'The groups and their users' };
const curves = { id: 'curves', heading: 'Cumulative percent revision' };
const ratios = { id: 'hazard-ratios', heading: 'Hazard ratios' };
const cautions = { id: 'cautions', heading: 'Before a decision rests on this' };

/** The answer to the question, from the words down to the numbers behind them. */
export function Answer({ report, chapters, pending, view, setView, setReference }: Props) {
  if (report.status === 'empty') {
    return (
      <div className="answer" aria-busy={pending} data-pending={pending}>
        <p className="nothing" role="status">{report.reason}</p>
        <DataTable table={report.attrition} />
      </div>
    );
  }
  const { tables, provenance, source } = report, whole = report.status === 'ok' ? report : null, sections = whole?.sections ?? [];
  return (
    <div className="answer" aria-busy={pending} data-pending={pending}>
      <p className="source">{source}.</p>
      <FrozenPlan />
      <Contents parts={[groups, curves, ratios, ...sections, cautions]} />
      {whole === null ? <p className="soft waits">The answer in words is being worked out.</p> : (
        <div className="beside">
          <InWords readings={whole.readings} />
          <DataTable table={whole.tables.attrition} provenance={provenance} note={false} />
        </div>
      )}
      {whole !== null && whole.notes.length > 0 && <ul className="notes">{whole.notes.map((note) => <li key={note}>{note}</li>)}</ul>}
      <section id={groups.id}>
        <h2>{groups.heading}</h2>
        {whole === null ? <p className="soft waits">Being worked out.</p> : <DataTable table={whole.tables.groups} provenance={provenance} captionHidden />}
        {whole?.comparability.map((sentence) => <p key={sentence} className="caution">{sentence}</p>)}
      </section>
      <section id={curves.id}>
        <h2>{curves.heading}</h2>
        <CurvesFigure report={report} competing={chapters.competingRisks} view={view} setView={setView} />
        <div className="beside">
          <DataTable table={tables.percent} provenance={provenance} />
          <div>
            <DataTable table={tables.rates} provenance={provenance} />
            <p>{report.status === 'ok' ? report.logRank : report.ratios?.logRank}</p>
          </div>
        </div>
        <ChapterBody chapter={chapters.competingRisks} source={source} />
      </section>
      <HazardRatios id={ratios.id} heading={ratios.heading} report={report} competing={chapters.competingRisks} setReference={setReference} />
      {sections.map(({ id, heading, chapters: names }) => (whole !== null && id === whoGotWhat.id
        ? <WhoGotWhat key={id} id={id} heading={heading} report={whole} />
        : (
          <section key={id} id={id}>
            <h2>{heading}</h2>
            {names.map((name) => <ChapterBody key={name} chapter={chapters[name]} source={source} />)}
          </section>
        )))}
      <section id={cautions.id}>
        <h2>{cautions.heading}</h2>
        <ul>{standingCautions.map((caution) => <li key={caution}>{caution}</li>)}</ul>
        <p className="source">Settings: {report.settings}.</p>
      </section>
    </div>
  );
}
