import type { ChapterName } from '../../analysis/chapters';
import type { Basis } from '../../analysis/chapters/basis';
import type { Analysis } from '../../analysis/result';
import type { Provenance } from '../csv';
import { asSentence } from '../phrases';
import { provenanceOf } from '../provenance';
import { guardedCount } from '../smallCounts';
import type { ProtectedTable } from '../table';
import type { TimeFigure } from '../timeFigure';
import type { Block } from '../blocks';

/** A chapter of the answer, ready to be drawn. */
export interface ChapterReport {
  readonly name: ChapterName;
  readonly blocks: readonly Block[];
  /** For other places of the page than the chapter's own. */
  readonly curves?: CurvesChoice;
  readonly ratios?: readonly Block[];
  readonly basis: string; // what the numbers rest on
  readonly methods: readonly string[];
  readonly notes: readonly string[];
  readonly provenance: Provenance;
}

/** What the curves of percent revised show: which question they answer, and the figure where it is not that of the main answer. */
export interface CurvesChoice {
  readonly explanation: string;
  readonly prompt: string | null; // the two kinds of curve must not be taken for each other
  readonly figure: TimeFigure | null;
  readonly table: ProtectedTable; // of both kinds of curve
}

/** What a chapter has to say, without where it comes from. */
export interface Content extends Pick<ChapterReport, 'blocks' | 'curves' | 'ratios'> {
  readonly notes?: readonly string[]; // where some of the chapter's own are said among the blocks
}

export function chapterReport(analysis: Analysis, name: ChapterName, { procedures, events, methods, notes }: Basis, content: Content): ChapterReport {
  return {
    name,
    ...content,
    basis: `From ${guardedCount(procedures)} procedures, ${guardedCount(events)} of them revised within the horizon`,
    methods,
    notes: (content.notes ?? notes).filter((note) => !analysis.notes.includes(note)).map(asSentence),
    provenance: [...provenanceOf(analysis), ...methods.map((text) => ({ label: 'Estimator', text }))],
  };
}
