'use client';
import { memo } from 'react';
import { ToggleButton, ToggleButtonGroup } from 'react-aria-components';
import type { View } from '../../lib/contract/view';
import { formatSpan } from '../../lib/reports/format';
import '../parts/ViewControls.css';

const spans = [1, 2, 5, 10, 15, 20];
const deaths = [
  { kind: 'censored', label: 'If patients did not die' }, { kind: 'competing', label: 'As patients live' }, { kind: 'both', label: 'Both' },
] as const;

interface Props {
  readonly horizonYears: number;
  readonly view: View;
  readonly setView: (view: View) => void;
}

/**
 * How the curves are shown. Changes no number. Drawn again only for another view: groups of toggle buttons set a state of theirs whenever they are
 * drawn, for which React clears away what left the page at once, in the task that draws new curves, instead of after their frame.
 */
export const ViewControls = memo(function ViewControls({ horizonYears, view, setView }: Props) {
  const offered = spans.filter((span) => span < horizonYears);
  return (
    <div className="view-controls">
      <ToggleButtonGroup
        aria-label="What the curves show" selectionMode="single" disallowEmptySelection selectedKeys={[view.deaths]}
        onSelectionChange={(keys) => { const [chosen] = keys, kind = deaths.find((d) => d.kind === chosen)?.kind; if (kind !== undefined) setView({ ...view, deaths: kind }); }}
      >
        {deaths.map(({ kind, label }) => <ToggleButton key={kind} id={kind}>{label}</ToggleButton>)}
      </ToggleButtonGroup>
      <ToggleButtonGroup
        aria-label="Show the first" selectionMode="single" disallowEmptySelection selectedKeys={[String(view.spanYears ?? 'all')]}
        onSelectionChange={(keys) => { const [key] = keys; setView({ ...view, spanYears: key === 'all' ? null : Number(key) }); }}
      >
        {offered.map((span) => <ToggleButton key={span} id={String(span)}>{formatSpan(span)}</ToggleButton>)}
        <ToggleButton id="all">{formatSpan(horizonYears)}</ToggleButton>
      </ToggleButtonGroup>
      <ToggleButtonGroup
        aria-label="Time axis" selectionMode="single" disallowEmptySelection selectedKeys={[view.axis]}
        onSelectionChange={(keys) => { setView({ ...view, axis: keys.has('days') ? 'days' : 'years' }); }}
      >
        <ToggleButton id="years">in years</ToggleButton>
        <ToggleButton id="days">in days</ToggleButton>
      </ToggleButtonGroup>
      <ToggleButton isSelected={view.bands} onChange={(bands) => { setView({ ...view, bands }); }}>Bands</ToggleButton>
    </div>
  );
});
