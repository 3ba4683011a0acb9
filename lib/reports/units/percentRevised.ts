import type { UnitAnalysis } from '../../screening/units/unitsResult';
import { View } from '../../contract/view';
import { caution, type Block } from '../blocks';
import { percentTable } from '../comparisonTables';
import { percentDrawing } from '../curveFigure';
import { capital, reasonWords } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { timeFigure, type TimeFigure } from '../timeFigure';
import { toldOf } from '../toldDays';
import { traceOf } from '../trace';
import { ownLabels, unitsNetWords } from './unitsQuestionWords';

/** The unit and its peers, in this order, as the results have them. */
const unitAndPeers = ({ question: { kind } }: UnitAnalysis, peers = 'Peers') => [{ key: 'unit', label: ownLabels[kind] }, { key: 'peers', label: peers }];

export function percentRevisedFigure(analysis: UnitAnalysis): TimeFigure {
  const { curves, riskTable, question } = analysis, groups = unitAndPeers(analysis, `Peers: ${analysis.peers.label}`);
  return timeFigure({
    ...percentDrawing({ groups, curves, riskTable, question }),
    name: 'unit-curves',
    caption: `${capital(unitsNetWords(question))}: 100 (1 − Kaplan–Meier), as it is, with bands of the chosen confidence; differences in case mix are not taken out. A curve stops where too few are at risk. `,
    lines: curves.map((curve, group) => ({ label: groups[group]?.label ?? curve.group, group, thin: false, trace: traceOf(curve), told: toldOf(curve) })),
  }, View.parse({}));
}

export function percentRevisedBlocks(analysis: UnitAnalysis): readonly Block[] {
  const { atTimes, adjustedAtTimes, question } = analysis, groups = unitAndPeers(analysis);
  const plain = protectSmallCounts({ ...percentTable({ groups, atTimes, question }), name: 'percent-revised', title: 'Percent revised, as it is' });
  const adjusted: readonly Block[] = 'status' in adjustedAtTimes
    ? [caution(`With the same case mix for both it could not be worked out: ${reasonWords(adjustedAtTimes.reason)}.`)]
    : [{
        kind: 'table', folded: false,
        table: protectSmallCounts({
          ...percentTable({ groups, atTimes: adjustedAtTimes, question }), name: 'percent-revised-adjusted', title: 'Percent revised, with the same case mix',
          method: 'From a Cox model with a baseline of their own for the unit and its peers, averaged over the case mix of both together; at risk and revised as they are.',
        }),
      }];
  return [
    { kind: 'overTime', figure: percentRevisedFigure(analysis), table: plain, shownOnce: true },
    { kind: 'table', table: plain, folded: false },
    ...adjusted,
  ];
}


