'use client';
import type { ReactNode } from 'react';
import type { ChosenComponent, ScreeningQuestion } from '../../lib/contract/screeningQuestion';
import { screeningCautions } from '../../lib/reports/screening/screeningCautions';
import type { NoScreeningReport, ScreeningReport, ScreeningSection } from '../../lib/reports/screening/screeningReport';
import { Blocks } from '../blocks/Blocks';
import { Contents } from '../parts/Contents';
import type { Ask } from '../parts/useEdits';
import { AfterFlags } from './AfterFlags';
import { ExplainedModel } from './ExplainedModel';
import { LookInto } from './LookInto';
import '../parts/answer.css';

interface Props {
  readonly report: ScreeningReport | NoScreeningReport;
  readonly pending: boolean;
  readonly question: ScreeningQuestion;
  readonly ask: Ask<ScreeningQuestion>;
  readonly chosen: ChosenComponent | null;
  readonly choose: (chosen: ChosenComponent | null) => void;
}

const into = { id: 'one-model', heading: 'One model looked into' };
const cautions = { id: 'cautions', heading: 'Before a decision rests on this' };

/** The run from its words down to the models of which nothing is said, then one model looked into. */
export function ScreeningAnswer({ report, pending, question, ask, chosen, choose }: Props) {
  if (report.status === 'empty') {
    return <div className="answer" aria-busy={pending} data-pending={pending}><p className="nothing" role="status">{report.reason}</p></div>;
  }
  const { source, sections, provenance, notes, settings, basis, methods, models } = report;
  return (
    <div className="answer screening-answer" aria-busy={pending} data-pending={pending}>
      <p className="source">{source}. Look {report.question.look}.</p>
      <Contents parts={[...sections, into, cautions]} />
      {notes.length > 0 && <ul className="notes">{notes.map((note) => <li key={note}>{note}</li>)}</ul>}
      {sections.map((section) => (
        <Part key={section.id} {...section}>
          <Blocks blocks={section.blocks} provenance={provenance} source={source} />
          {section.id === 'flagged' && <AfterFlags question={question} ask={ask} models={models} />}
        </Part>
      ))}
      <Part {...into}>
        <LookInto models={models} chosen={chosen} choose={choose} />
        {chosen !== null && <ExplainedModel question={report.question} chosen={chosen} source={source} />}
      </Part>
      <Part {...cautions}>
        <ul>{screeningCautions.map((caution) => <li key={caution}>{caution}</li>)}</ul>
        <details className="methods">
          <summary>How these numbers were made</summary>
          <p>{basis}. {source}.</p>
          <ul>{methods.map((method) => <li key={method}>{method.replace(/\.$/, '')}.</li>)}</ul>
        </details>
        <p className="source">Settings: {settings}.</p>
      </Part>
    </div>
  );
}

function Part({ id, heading, children }: Pick<ScreeningSection, 'id' | 'heading'> & { readonly children: ReactNode }) {
  return (
    <section id={id} className={id === 'in-words' ? 'in-words' : undefined}>
      <h2>{heading}</h2>
      {children}
    </section>
  );
}
