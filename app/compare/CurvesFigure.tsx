'use client';
import { memo } from 'react';
import type { View } from '../../lib/contract/view';
import type { ComparisonReport } from '../../lib/reports/comparisonReport';
import type { FirstReport } from '../../lib/reports/firstReport';
import { ProgressLine } from '../parts/ProgressLine';
import type { Arriving } from './chapters/useChapters';
import { FigureOverTime } from '../blocks/FigureOverTime';
import { ViewControls } from './ViewControls';

interface Props {
  readonly report: ComparisonReport | FirstReport;
  readonly competing: Arriving | undefined; // the chapter on revision where patients also die
  readonly view: View;
  readonly setView: (view: View) => void;
}

/** The curves of percent revised, with the choice of what they show and how. */
export const CurvesFigure = memo(function CurvesFigure({ report, competing, view, setView }: Props) {
  const choice = competing?.status === 'arrived' ? competing.report.curves : undefined;
  const censored = view.deaths === 'censored';
  const figure = censored ? report.figures.curves : choice?.figure, table = !censored ? choice?.table : report.status === 'ok' ? report.tables.curves : null;
  return (
    <div className="curves">
      <ViewControls horizonYears={report.horizonYears} view={view} setView={setView} />
      {choice !== undefined && <p className="soft">{choice.explanation}</p>}
      {figure == null || table === undefined
        ? <ProgressLine label={competing?.status === 'working' ? competing.progress.label : 'Counting deaths'} />
        : <FigureOverTime figure={figure} table={table} provenance={report.provenance} source={report.source} />}
      {choice?.prompt != null && <p className="caution">{choice.prompt}</p>}
    </div>
  );
});
