'use client';
import type { RefObject } from 'react';
import { usualPolicy } from '../../lib/disclosure/policy';
import type { Provenance } from '../../lib/reports/csv';
import { policyWords } from '../../lib/reports/policyWords';
import type { ProtectedTable } from '../../lib/reports/table';
import { useDisclosure } from '../shell/Disclosure';
import { CsvButton } from '../parts/CsvButton';
import { saveSvg, type LegendEntry } from '../parts/saveSvg';
import { TextButton } from '../parts/TextButton';

interface Props {
  readonly name: string;
  readonly title: string;
  readonly caption: string;
  readonly legend?: readonly LegendEntry[]; // where the drawing has none
  readonly paper: RefObject<HTMLElement | null>; // what is saved
  readonly notes?: readonly string[]; // what stands under the drawing outside the page
  readonly table: ProtectedTable | null; // null: not there yet
  readonly provenance: Provenance;
  readonly source: string;
}

/** What a figure shows, and the figure to take away. */
export function FigureCaption({ name, title, caption, legend = [], paper, notes = [], table, provenance, source }: Props) {
  const { leave } = useDisclosure();
  const saveFigure = () => {
    if (table === null) return;
    const small = { label: 'Small counts', text: policyWords(table.policy ?? usualPolicy) };
    leave({ table, provenance, save: (head) => { saveSvg({ name: `${name}.svg`, paper: paper.current, legend, lines: [title, source, ...notes], provenance: [...head, small] }); } });
  };
  return (
    <figcaption>
      <span>{caption} </span>
      <CsvButton title={table?.title ?? title} table={table} provenance={provenance} />
      <span className="not-printed"> · </span>
      <TextButton label={`Download as SVG: ${title}`} isDisabled={table === null} onPress={saveFigure}>Download as SVG</TextButton>
    </figcaption>
  );
}
