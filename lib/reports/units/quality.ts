import type { QualityCheck, UnitAnalysis } from '../../screening/units/unitsResult';
import { paragraph, type Block } from '../blocks';
import { formatList, formatPercent } from '../format';
import { finished } from '../phrases';
import { inSentence } from '../questionWords';
import { protectSmallCounts } from '../smallCounts';
import { text, type ProtectedTable, type Row } from '../table';
import { count, derived, number, words } from '../tableCells';
import { ownLabels } from './unitsQuestionWords';

const percentOf = ({ count: n, of }: QualityCheck['own']) => derived(of === 0 ? NaN : (100 * n) / of, formatPercent, [n]);

export const qualityTable = (quality: readonly QualityCheck[], own: string): ProtectedTable => protectSmallCounts({
  name: 'data-first',
  title: 'The data of the unit beside the peers’',
  method: 'Counts and the percentages that they make. Marked as unlike: at least 5 percentage points apart, and further than happens once in a thousand by chance (exact test of Fisher 1935, J R Stat Soc 98:39); bounds of this workbench’s own choice.',
  columns: [
    words('What is counted'), number(`${own}, n`), number('of'), number('%'), number('Peers, n'), number('of (peers)'), number('% (peers)'), words('Reading'), words('What it can do to the numbers'),
  ],
  rows: quality.map(({ label, own: mine, peers, unlike, why }): Row => ({
    cells: [
      text(label), count(mine.count), count(mine.of), percentOf(mine), count(peers.count), count(peers.of), percentOf(peers),
      text(unlike ? 'unlike the peers: look here first' : 'like the peers'), text(why),
    ],
  })),
});

/** What the checks of the data say, before anything is said of results. */
export const qualityWords = (quality: readonly QualityCheck[]): string => {
  const unlike = quality.filter((check) => check.unlike);
  if (quality.length === 0) return 'No check of the data could be made.';
  if (unlike.length === 0) return `The data first: none of the ${quality.length} checks of the unit’s records is clearly unlike the peers’. Coding and linkage can still be wrong in single cases.`;
  return `The data first: ${unlike.length} of ${quality.length} checks of the unit’s records ${unlike.length === 1 ? 'is' : 'are'} clearly unlike the peers’ (${formatList(unlike.map(({ label }) => inSentence(label)))}). `
    + 'Settle that before the numbers below are read: it may explain them.';
};

export const qualityBlocks = ({ quality, question: { kind } }: UnitAnalysis): readonly Block[] => [
  ...paragraph(finished([{ text: qualityWords(quality), basis: [] }])),
  ...(quality.length === 0 ? [] : [{ kind: 'table' as const, table: qualityTable(quality, ownLabels[kind]), folded: false }]),
];
