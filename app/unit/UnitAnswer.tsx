'use client';
import { useState, type ReactNode } from 'react';
import type { ChosenUnit, UnitsQuestion } from '../../lib/contract/unitsQuestion';
import { unitCautions } from '../../lib/reports/units/unitCautions';
import type { UnitReport } from '../../lib/reports/units/unitReport';
import type { NoUnitsReport, UnitsReport, UnitsSection } from '../../lib/reports/units/unitsReport';
import { Blocks } from '../blocks/Blocks';
import { Contents } from '../parts/Contents';
import { DataTable } from '../parts/DataTable';
import { TextButton } from '../parts/TextButton';
import { OpenCaseButton } from '../review/OpenCaseButton';
import { BenchmarkForm } from './BenchmarkForm';
import { OwnCases } from './OwnCases';
import '../parts/answer.css';
import './unit.css';

interface Props {
  readonly report: UnitReport | UnitsReport | NoUnitsReport;
  readonly pending: boolean;
  readonly question: UnitsQuestion;
  readonly unit: ChosenUnit | null;
  readonly setBenchmark: (benchmark: UnitsQuestion['benchmark']) => void;
}

const benchmarkPart = { id: 'benchmark', heading: 'Against a benchmark' };
const surgeonsPart = { id: 'surgeons', heading: 'Surgeons of the hospital' };
const casesPart = { id: 'own-cases', heading: 'Its revised procedures' };
const cautionsPart = { id: 'cautions', heading: 'Before a decision rests on this' };

/** The answer, the data first, down to the numbers and how they were made. */
export function UnitAnswer({ report, pending, question, unit, setBenchmark }: Props) {
  if (report.status === 'empty') {
    return (
      <div className="answer" aria-busy={pending} data-pending={pending}>
        <p className="nothing" role="status">{report.reason}</p>
        <DataTable table={report.attrition} />
      </div>
    );
  }
  const { source, sections, provenance, notes, settings, basis, methods, attrition } = report;
  const { benchmark } = question;
  const form = <BenchmarkForm key={JSON.stringify(benchmark)} benchmark={benchmark} onSet={setBenchmark} />;
  const surgeons = report.about === 'one' ? report.surgeons : null, evidence = report.about === 'one' ? report.evidence : null;
  const ends = [...(report.about === 'all' ? [benchmarkPart] : []), ...(surgeons === null ? [] : [surgeonsPart]), ...(report.about === 'one' ? [casesPart] : []), cautionsPart];
  return (
    <div className="answer unit-answer" aria-busy={pending} data-pending={pending} data-about={report.about}>
      <p className="source">{source}.</p>
      {report.about === 'one' && <p className="looked-at">{report.label}</p>}
      <Contents parts={[...sections, ...ends]} />
      {notes.length > 0 && <ul className="notes">{notes.map((note) => <li key={note}>{note}</li>)}</ul>}
      {sections.map((section) => (
        <Part key={section.id} {...section}>
          {section.id === benchmarkPart.id && form}
          <Blocks blocks={section.blocks} provenance={provenance} source={source} />
        </Part>
      ))}
      {report.about === 'all' && (
        <Part {...benchmarkPart}>
          <p>A bar that one unit will be held against is best set here, before a unit is chosen and its results are seen.</p>
          {form}
        </Part>
      )}
      {surgeons !== null && <Part {...surgeonsPart}><OnRequest label="Show this hospital’s surgeons"><DataTable table={surgeons} provenance={provenance} captionHidden /></OnRequest></Part>}
      {report.about === 'one' && unit !== null && (
        <Part {...casesPart}>
          <p>Before anything else is concluded, check single cases against your own records.</p>
          <OwnCases key={JSON.stringify([question, unit])} question={question} unit={unit} />
        </Part>
      )}
      <Part {...cautionsPart}>
        <ul>{unitCautions.map((caution) => <li key={caution}>{caution}</li>)}</ul>
        {evidence !== null && <OpenCaseButton evidence={evidence} />}
        <details className="methods">
          <summary>How these numbers were made</summary>
          <p>{basis}. {source}.</p>
          <ul>{methods.map((method) => <li key={method}>{method.replace(/\.$/, '')}.</li>)}</ul>
          <DataTable table={attrition} provenance={provenance} />
        </details>
        <p className="source">Settings: {settings}.</p>
      </Part>
    </div>
  );
}

function Part({ id, heading, children }: Pick<UnitsSection, 'id' | 'heading'> & { readonly children: ReactNode }) {
  return (
    <section id={id} className={id === 'in-words' ? 'in-words' : undefined}>
      <h2>{heading}</h2>
      {children}
    </section>
  );
}

/** Is not on the page, nor on paper, until it is asked for. */
function OnRequest({ label, children }: { readonly label: string; readonly children: ReactNode }) {
  const [shown, setShown] = useState(false);
  return shown ? <>{children}</> : <p><TextButton onPress={() => { setShown(true); }}>{label}</TextButton></p>;
}
