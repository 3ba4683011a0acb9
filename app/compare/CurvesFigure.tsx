'use client';
import { useRef, useState } from 'react';
import type { View } from '../../lib/contract/view';
import type { ComparisonReport } from '../../lib/reports/comparisonReport';
import { GroupMark } from '../parts/GroupMark';
import { saveSvg } from '../parts/saveSvg';
import { TextButton } from '../parts/TextButton';
import { useNarrow } from '../parts/useNarrow';
import { CsvButton } from '../parts/CsvButton';
import { CurveChart } from './CurveChart';
import { ViewControls } from './ViewControls';
import './CurvesFigure.css';

const printWidth = 660;

/** The curves, their reading at one time, and the same in print and as a file. */
export function CurvesFigure({ report, view, setView }: { readonly report: ComparisonReport; readonly view: View; readonly setView: (view: View) => void }) {
  const { figures: { curves: figure }, groups, tables, provenance, source } = report;
  const [chosen, setChosen] = useState<number | null>(null);
  const paper = useRef<HTMLDivElement>(null);
  const narrow = useNarrow();
  const position = Math.min(chosen ?? figure.firstReading, figure.readings.length - 1);
  const reading = figure.readings[position];
  return (
    <figure className="curves" aria-label="Cumulative percent revision">
      <ViewControls horizonYears={report.horizonYears} view={view} setView={setView} />
      <div className="screen" aria-hidden data-chart="curves">
        <CurveChart figure={figure} series={figure.series} few={narrow} {...(reading !== undefined && { reading, onRead: setChosen })} />
      </div>
      <div className="paper" ref={paper} aria-hidden>
        <CurveChart figure={figure} series={figure.monthly} few={false} width={printWidth} />
      </div>
      {reading !== undefined && (
        <div className="reading">
          <label>
            <span>Read all groups at</span>
            <input
              type="range" min={0} max={figure.readings.length - 1} step={1} value={position} aria-valuetext={reading.spoken}
              onChange={(event) => { setChosen(event.currentTarget.valueAsNumber); }}
            />
            <output>{reading.label}</output>
          </label>
          <dl>
            {reading.groups.map(({ text, atRisk }, group) => (
              <div key={groups[group]?.key}>
                <dt><GroupMark group={group} />{groups[group]?.label}</dt>
                <dd>{text}{atRisk !== '' && <span className="soft"> · {atRisk} at risk</span>}</dd>
              </div>
            ))}
          </dl>
        </div>
      )}
      <figcaption>
        <span>Revised if patients did not die (100 (1 − Kaplan–Meier)){figure.bands && ', with bands of the chosen confidence'}. A curve stops where too few are at risk. </span>
        <CsvButton table={tables.curves} provenance={provenance} />
        {' · '}
        <TextButton label="Download the figure as SVG" onPress={() => { saveSvg('revision-curves.svg', paper.current, ['Cumulative percent revision', source], provenance); }}>Download as SVG</TextButton>
      </figcaption>
    </figure>
  );
}
