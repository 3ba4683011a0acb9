'use client';
import dynamic from 'next/dynamic';
import { memo } from 'react';
import type { Provenance } from '../../lib/reports/csv';
import type { Block } from '../../lib/reports/blocks';
import type { ProtectedTable } from '../../lib/reports/table';
import { DataTable } from '../parts/DataTable';
import { SentencesText } from '../parts/SentencesText';
import { FigureOverTime } from './FigureOverTime';
import { ForestPlot } from './ForestPlot';
import { FunnelPlot } from './FunnelPlot';
import { BalancePlot } from './BalancePlot';
import { Choice } from './Choice';
import { Panels } from './Panels';
import { ZoneMap } from './ZoneMap';
import './blocks.css';

// With the library of charts, which the first view does without.
const FigureOfMonitoring = dynamic(() => import('./FigureOfMonitoring').then((m) => m.FigureOfMonitoring), { ssr: false });
const PointsPlot = dynamic(() => import('./PointsPlot').then((m) => m.PointsPlot), { ssr: false });
const StackPanels = dynamic(() => import('./StackPanels').then((m) => m.StackPanels), { ssr: false });

interface Props { readonly blocks: readonly Block[]; readonly provenance: Provenance; readonly source: string }

/** The pieces of a chapter in their order. */
export const Blocks = memo(function Blocks({ blocks, provenance, source }: Props) {
  return blocks.map((block, i) => <Piece key={i} block={block} provenance={provenance} source={source} />);
});

function Piece({ block, provenance, source }: { readonly block: Block; readonly provenance: Provenance; readonly source: string }) {
  switch (block.kind) {
    case 'heading': return <h3>{block.text}</h3>;
    case 'words': return <p><SentencesText sentences={block.sentences} /></p>;
    case 'caution': return <p className="caution">{block.text}</p>;
    case 'overTime': return (
      <>
        <FigureOverTime figure={block.figure} table={block.table} provenance={provenance} source={source} />
        {block.shownOnce !== true && <Folded table={block.table} provenance={provenance} />}
      </>
    );
    case 'panels': return <Panels {...block} provenance={provenance} source={source} />;
    case 'stack': return <StackPanels figure={block.figure} table={block.table} provenance={provenance} source={source} />;
    case 'forest': return (
      <>
        <ForestPlot figure={block.figure} title={block.title} name={block.table.name} />
        <Folded table={block.table} provenance={provenance} />
      </>
    );
    case 'funnel': return (
      <>
        <FunnelPlot figure={block.figure} table={block.table} provenance={provenance} source={source} />
        <Folded table={block.table} provenance={provenance} />
      </>
    );
    case 'balance': return <BalancePlot figure={block.figure} table={block.table} provenance={provenance} />;
    case 'monitor': return (
      <>
        <FigureOfMonitoring figure={block.figure} table={block.table} provenance={provenance} source={source} />
        <Folded table={block.table} provenance={provenance} />
      </>
    );
    case 'points': return (
      <>
        <PointsPlot figure={block.figure} table={block.table} provenance={provenance} source={source} />
        <Folded table={block.table} provenance={provenance} />
      </>
    );
    case 'zones': return (
      <>
        <ZoneMap figure={block.figure} table={block.table} provenance={provenance} source={source} />
        <Folded table={block.table} provenance={provenance} />
      </>
    );
    case 'table': return block.folded ? <Folded table={block.table} provenance={provenance} alone /> : <DataTable table={block.table} provenance={provenance} />;
    case 'choice': return <Choice label={block.label} options={block.options.map(({ label, blocks }) => ({ label, content: <Blocks blocks={blocks} provenance={provenance} source={source} /> }))} />;
  }
}

/** `alone`: no drawing shows the same. */
function Folded({ table, provenance, alone = false }: { readonly table: ProtectedTable; readonly provenance: Provenance; readonly alone?: boolean }) {
  return (
    <details>
      <summary>{alone ? '' : 'As a table: '}{table.title}</summary>
      <DataTable table={table} provenance={provenance} captionHidden />
    </details>
  );
}
