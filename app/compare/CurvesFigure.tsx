'use client';
import type { View } from '../../lib/contract/view';
import type { ComparisonReport } from '../../lib/reports/comparisonReport';
import { FigureOverTime } from './FigureOverTime';
import { ViewControls } from './ViewControls';

/** The curves of percent revised, with the choice of how they are shown. */
export function CurvesFigure({ report, view, setView }: { readonly report: ComparisonReport; readonly view: View; readonly setView: (view: View) => void }) {
  return (
    <div className="curves">
      <ViewControls horizonYears={report.horizonYears} view={view} setView={setView} />
      <FigureOverTime figure={report.figures.curves} table={report.tables.curves} provenance={report.provenance} source={report.source} />
    </div>
  );
}
