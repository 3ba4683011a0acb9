'use client';
import { memo, useDeferredValue, useRef, useState } from 'react';
import type { Provenance } from '../../lib/reports/csv';
import type { ProtectedTable } from '../../lib/reports/table';
import type { TimeFigure } from '../../lib/reports/timeFigure';
import { GroupMark } from '../parts/GroupMark';
import { useNarrow } from '../parts/useNarrow';
import { CurveChart } from './CurveChart';
import { FigureCaption } from './FigureCaption';
import { PaperNote, paperLines } from './PaperNote';
import './FigureOverTime.css';

const printWidth = 660;

interface Props {
  readonly figure: TimeFigure;
  readonly table: ProtectedTable | null; // the same as numbers; null: not there yet
  readonly provenance: Provenance;
  readonly source: string;
}

const OnPaper = memo(function OnPaper({ figure }: { readonly figure: TimeFigure }) {
  return <CurveChart figure={{ ...figure, atRisk: figure.outsideAtRisk ?? figure.atRisk }} lines={figure.paper} few={false} width={printWidth} marked={figure.shape === 'steps'} />;
});

/** Lines against time, their reading at one time, and the same in print and as a file. Drawn again only when it is another figure. */
export const FigureOverTime = memo(function FigureOverTime({ figure, table, provenance, source }: Props) {
  const [chosen, setChosen] = useState<number | null>(null);
  const paper = useRef<HTMLDivElement>(null);
  const narrow = useNarrow();
  const onPaper = useDeferredValue<TimeFigure | null>(figure, null); // the screen first: each drawing takes a while
  const position = Math.min(chosen ?? figure.firstReading, figure.readings.length - 1);
  const reading = figure.readings[position];
  return (
    <figure className="over-time" aria-label={figure.title}>
      <div className="screen" aria-hidden data-chart={figure.name}>
        <CurveChart figure={figure} lines={figure.lines} few={narrow} {...(reading !== undefined && { reading, onRead: setChosen })} />
      </div>
      <div className="paper" ref={paper} aria-hidden>
        {table !== null && onPaper === figure && <OnPaper figure={figure} />}
        {table !== null && <PaperNote figures={[figure]} policy={table.policy} />}
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
            {reading.lines.map(({ text, atRisk }, i) => (
              <div key={i}>
                <dt><GroupMark group={figure.lines[i]?.group ?? 0} thin={figure.lines[i]?.thin === true} />{figure.lines[i]?.label}</dt>
                <dd>{text}{atRisk !== '' && <span className="soft"> · {atRisk} at risk</span>}</dd>
              </div>
            ))}
          </dl>
        </div>
      )}
      <FigureCaption name={figure.name} title={figure.title} caption={figure.caption} paper={paper} notes={paperLines([figure], table?.policy)} table={table} provenance={provenance} source={source} />
    </figure>
  );
});
