'use client';
import { Fragment } from 'react';
import { qualityCautions, type QualityReport } from '../../../lib/reports/quality/qualityReport';
import { Blocks } from '../../blocks/Blocks';
import { Contents } from '../../parts/Contents';
import { useUnitsSession } from '../../shell/UnitsSession';
import { LinkageRows } from './LinkageRows';
import { Versions } from './Versions';
import '../../parts/answer.css';

const rowsPart = { id: 'linkage-rows', heading: 'Every re-operation, row by row' };
const versionsPart = { id: 'versions', heading: 'Two versions compared' };
const cautionsPart = { id: 'cautions', heading: 'Before anything rests on this' };

export function QualityAnswer({ report, pending }: { readonly report: QualityReport; readonly pending: boolean }) {
  const { sections, provenance, source, reoperations } = report;
  const { names, showNames } = useUnitsSession();
  const linkage = sections.findIndex(({ id }) => id === 'linkage');
  const parts = [...sections.slice(0, linkage + 1), rowsPart, ...sections.slice(linkage + 1), versionsPart, cautionsPart];
  return (
    <div className="answer quality" aria-busy={pending} data-pending={pending}>
      <p className="source">{source}.</p>
      <p className="names-choice"><label><input type="checkbox" checked={names} onChange={(event) => { showNames(event.target.checked); }} /> Show hospitals and surgeons by their identifiers (on the page, never outside it)</label></p>
      <Contents parts={parts} />
      {sections.map(({ id, heading, blocks }) => (
        <Fragment key={id}>
          <section id={id} className={id === 'in-words' ? 'in-words' : undefined}>
            <h2>{heading}</h2>
            <Blocks blocks={blocks} provenance={provenance} source={source} />
          </section>
          {id === 'linkage' && <section id={rowsPart.id}><h2>{rowsPart.heading}</h2><LinkageRows key={source} all={reoperations} /></section>}
        </Fragment>
      ))}
      <section id={versionsPart.id}>
        <h2>{versionsPart.heading}</h2>
        <Versions key={source} />
      </section>
      <section id={cautionsPart.id}>
        <h2>{cautionsPart.heading}</h2>
        <ul>{qualityCautions.map((caution) => <li key={caution}>{caution}</li>)}</ul>
      </section>
    </div>
  );
}
