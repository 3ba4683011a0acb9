'use client';
import type { ComparisonReport } from '../../lib/reports/comparisonReport';
import { DataTable } from '../parts/DataTable';
import { ForestPlot } from './ForestPlot';

/** Hazard ratios against the reference, drawn and in full. */
export function HazardRatios({ report, setReference }: { readonly report: ComparisonReport; readonly setReference: (group: string) => void }) {
  const { figures: { forest }, groups, reference, tables, provenance } = report;
  if (groups.length < 2) {
    return (
      <section>
        <h2>Hazard ratios</h2>
        <p>There is one group only: nothing to compare it with.</p>
      </section>
    );
  }
  return (
    <section>
      <h2>Hazard ratios</h2>
      <p className="reference-choice">
        <label>
          Against{' '}
          <select value={reference} onChange={(event) => { setReference(event.currentTarget.value); }}>
            {groups.map(({ key, label }) => <option key={key} value={key}>{label}</option>)}
          </select>
        </label>
      </p>
      <ForestPlot figure={forest} title="Hazard ratios" />
      {tables.ratios.length > 0 && (
        <details>
          <summary>The models in full</summary>
          {tables.ratios.map((table) => <DataTable key={table.name} table={table} provenance={provenance} />)}
        </details>
      )}
    </section>
  );
}
