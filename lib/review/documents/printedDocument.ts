import type { Block } from '../../reports/blocks';
import type { Provenance } from '../../reports/csv';
import { paragraph } from '../../reports/blocks';
import { protectSmallCounts } from '../../reports/smallCounts';
import { text } from '../../reports/table';
import { words } from '../../reports/tableCells';

/** A part of a document. Frozen numbers come with where they are from. */
export interface PrintedPart {
  readonly heading: string;
  readonly blocks: readonly Block[];
  readonly lists?: readonly string[];
  readonly provenance?: Provenance;
  readonly source?: string;
}

/** A document for paper, ready to be drawn: A4, page numbers and the line on confidentiality are the page's. */
export interface PrintedDocument {
  readonly title: string;
  readonly facts: readonly { readonly label: string; readonly text: string }[];
  readonly parts: readonly PrintedPart[];
  readonly signatures: readonly string[]; // roles
}

export const say = (...sentences: readonly string[]): readonly Block[] => paragraph(sentences.map((sentence) => ({ text: sentence, staysInside: false })));

/** A table of words. */
export const wordsTable = (name: string, title: string, method: string, columns: readonly string[], rows: readonly (readonly string[])[]): Block => ({
  kind: 'table', folded: false,
  table: protectSmallCounts({ name, title, method, columns: columns.map(words), rows: rows.map((cells) => ({ cells: cells.map(text) })) }),
});
