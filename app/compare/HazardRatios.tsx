'use client';
import { memo } from 'react';
import type { ComparisonReport } from '../../lib/reports/comparisonReport';
import type { FirstReport } from '../../lib/reports/firstReport';
import { DataTable } from '../parts/DataTable';
import { Blocks } from '../blocks/Blocks';
import type { Arriving } from './chapters/useChapters';
import { ForestPlot } from '../blocks/ForestPlot';

interface Props {
  readonly id: string;
  readonly heading: string;
  readonly report: ComparisonReport | FirstReport;
  readonly competing: Arriving | undefined; // the chapter on revision where patients also die
  readonly setReference: (group: string) => void;
}

/** Hazard ratios against the reference, drawn and in full. */
export const HazardRatios = memo(function HazardRatios({ id, heading, report, competing, setReference }: Props) {
  const { groups, reference, provenance, source } = report;
  const forest = report.status === 'ok' ? report.figures.forest : report.ratios?.forest, tables = report.status === 'ok' ? report.tables.ratios : [];
  if (groups.length < 2) {
    return (
      <section id={id}>
        <h2>{heading}</h2>
        <p>There is one group only: nothing to compare it with.</p>
      </section>
    );
  }
  return (
    <section id={id}>
      <h2>{heading}</h2>
      <p className="reference-choice">
        <label>
          Against{' '}
          <select value={reference} onChange={(event) => { setReference(event.currentTarget.value); }}>
            {groups.map(({ key, label }) => <option key={key} value={key}>{label}</option>)}
          </select>
        </label>
      </p>
      {forest === undefined ? <p className="soft waits">Being worked out.</p> : <ForestPlot figure={forest} title="Hazard ratios" />}
      {tables.length > 0 && (
        <details>
          <summary>The models in full</summary>
          {tables.map((table) => <DataTable key={table.name} table={table} provenance={provenance} />)}
        </details>
      )}
      {competing?.status === 'arrived' && competing.report.ratios !== undefined && (
        <div className="chapter" data-chapter="competingRatios"><Blocks blocks={competing.report.ratios} provenance={competing.report.provenance} source={source} /></div>
      )}
    </section>
  );
});
