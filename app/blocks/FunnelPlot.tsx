'use client';
import { memo, useDeferredValue, useRef, useState } from 'react';
import type { Provenance } from '../../lib/reports/csv';
import type { FunnelFigure, FunnelMark } from '../../lib/reports/funnelFigure';
import type { ProtectedTable } from '../../lib/reports/table';
import { TextButton } from '../parts/TextButton';
import { useNarrow } from '../parts/useNarrow';
import { useChosenUnit } from '../shell/ChosenUnit';
import { FigureCaption } from './FigureCaption';
import { FunnelChart, limitStroke, Shape } from './FunnelChart';
import './FunnelPlot.css';

const printWidth = 660;

interface Props { readonly figure: FunnelFigure; readonly table: ProtectedTable; readonly provenance: Provenance; readonly source: string }

const OnPaper = memo(function OnPaper({ figure }: { readonly figure: FunnelFigure }) {
  return <FunnelChart figure={figure} marks={figure.marks.filter(({ staysInside }) => !staysInside)} width={printWidth} />;
});

/** Units in a funnel: read one by one with pointer or keyboard, opened only where they have a name. */
export const FunnelPlot = memo(function FunnelPlot({ figure, table, provenance, source }: Props) {
  const { marks, lines, kind, name, title, caption, firstReading } = figure;
  const [read, setRead] = useState<number | null>(null);
  const { choose } = useChosenUnit();
  const paper = useRef<HTMLDivElement>(null), narrow = useNarrow();
  const onPaper = useDeferredValue<FunnelFigure | null>(figure, null); // the screen first
  const position = Math.min(read ?? firstReading, marks.length - 1), mark = marks[position];
  const open = ({ id }: FunnelMark) => { if (id !== null) choose({ kind, id, chosenPeers: [] }); };
  return (
    <figure className="funnel" aria-label={title}>
      <p className="legend" aria-hidden>
        {lines.map((line) => <span key={line.label}><svg width="30" height="8"><line x1="0" x2="30" y1="4" y2="4" {...limitStroke(line)} /></svg> {line.label}</span>)}
        {legendMarks.filter(({ shown }) => marks.some(shown)).map(({ label, shape }) => <span key={label}><svg width="16" height="14"><Shape mark={shape} cx={8} cy={7} /></svg> {label}</span>)}
      </p>
      <div className="screen" aria-hidden data-chart={name}>
        <FunnelChart figure={figure} marks={marks} few={narrow} reading={mark} onRead={(found) => { setRead(marks.indexOf(found)); }} onOpen={open} />
      </div>
      <div className="paper" ref={paper} aria-hidden>{onPaper === figure && <OnPaper figure={figure} />}</div>
      {mark !== undefined && (
        <div className="reading">
          <label>
            <span>Read one by one, by expected revisions</span>
            <input
              type="range" min={0} max={marks.length - 1} step={1} value={position} aria-valuetext={`${mark.label}: ${mark.text}. ${mark.places}`}
              onChange={(event) => { setRead(event.currentTarget.valueAsNumber); }}
            />
          </label>
          <p><strong>{mark.own ? `${mark.label}, the one looked at` : mark.label}</strong>: {mark.text}{mark.askedAbout ? '; asked about by the rule' : ''}. <span className="soft">{mark.places}.</span>
            {mark.id !== null && !mark.own && <>{' '}<TextButton onPress={() => { open(mark); }}>Open {mark.label}</TextButton></>}
          </p>
        </div>
      )}
      <FigureCaption
        name={name} title={title} caption={caption} paper={paper} table={table} provenance={provenance} source={source}
        legend={lines.map((line) => ({ label: line.label, colour: limitStroke(line).stroke, dash: limitStroke(line).strokeDasharray }))}
      />
    </figure>
  );
});

const plainMark = { own: false, askedAbout: false, above: false };
const legendMarks: readonly { readonly label: string; readonly shape: typeof plainMark; readonly shown: (mark: FunnelMark) => boolean }[] = [
  { label: 'the one looked at', shape: { ...plainMark, own: true }, shown: ({ own }) => own },
  { label: 'asked about by the rule', shape: { ...plainMark, askedAbout: true }, shown: ({ own, askedAbout }) => askedAbout && !own },
  { label: 'any other', shape: plainMark, shown: ({ own, askedAbout }) => !own && !askedAbout },
  { label: 'higher than drawn', shape: { ...plainMark, above: true }, shown: ({ above }) => above },
];
