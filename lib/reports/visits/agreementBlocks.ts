import type { VisitsAnalysis } from '../../visits/visitsResult';
import { paragraph, type Block } from '../blocks';
import { isEstimate } from '../estimate';
import { formatCount } from '../format';
import { finished, ratioWords } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text } from '../table';
import { count, number, words } from '../tableCells';

/** Two readers of the same radiographs: how far a grade can be trusted. */
export function agreementBlocks({ agreement, question: { confidence } }: VisitsAnalysis): readonly Block[] {
  if (agreement === null) return [];
  const { label, levels, counts, read, same, weightedKappa } = agreement;
  return [
    ...paragraph(finished([
      { text: `${label}: ${formatCount(read)} radiographs were read twice, ${formatCount(same)} with the same grade.`, basis: [same, read - same] },
      { text: isEstimate(weightedKappa) ? `Weighted κ ${ratioWords(weightedKappa, confidence)}; 1 would be full agreement, 0 what chance alone gives.` : `Weighted κ can’t be given: ${weightedKappa.reason}.`, basis: [read] },
    ])),
    {
      kind: 'table', folded: true,
      table: protectSmallCounts({
        name: 'two-readers', title: `${label}: first reader by second`, method: 'Quadratic weights (Cohen 1968, Psychol Bull 70:213).', blocksAddUp: true,
        columns: [words('First reader'), ...levels.map((level) => number(level.label))],
        rows: levels.map((level, i) => ({ cells: [text(level.label), ...(counts[i] ?? []).map(count)] })),
      }),
    },
  ];
}
