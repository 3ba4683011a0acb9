import type { UnitAnalysis } from '../../screening/units/unitsResult';
import { View } from '../../contract/view';
import { caution, type Block } from '../blocks';
import { percentTable } from '../comparisonTables';
import { percentDrawing } from '../curveFigure';
import { capital, reasonWords } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { timeFigure, type TimeFigure } from '../timeFigure';
import { traceOf } from '../trace';
import { unitsNetWords } from './unitsQuestionWords';

/** The unit and its peers, in this order, as the results have them. */
export const unitAndPeers = ({ peers }: Pick<UnitAnalysis, 'peers'>) => [{ key: 'unit', label: 'Our unit' }, { key: 'peers', label: `Peers: ${peers.label}` }] as const;
const short = [{ key: 'unit', label: 'Our unit' }, { key: 'peers', label: 'Peers' }] as const;

export function percentRevisedFigure(analysis: UnitAnalysis): TimeFigure {
  const { curves, riskTable, question } = analysis, groups = unitAndPeers(analysis);
  return timeFigure({
    ...percentDrawing({ groups, curves, riskTable, question }),
    name: 'unit-curves',
    caption: `${capital(unitsNetWords(question))}: 100 (1 − Kaplan–Meier), as it is, with bands of the chosen confidence; differences in case mix are not taken out. A curve stops where too few are at risk. `,
    lines: curves.map((curve, group) => ({ label: groups[group]?.label ?? curve.group, group, thin: false, trace: traceOf(curve) })),
  }, View.parse({}));
}

export function percentRevisedBlocks(analysis: UnitAnalysis): readonly Block[] {
  const { atTimes, adjustedAtTimes, question } = analysis;
  const plain = protectSmallCounts({ ...percentTable({ groups: short, atTimes, question }), name: 'percent-revised', title: 'Percent revised, as it is' });
  const adjusted: readonly Block[] = 'status' in adjustedAtTimes
    ? [caution(`With the same case mix for both it could not be worked out: ${reasonWords(adjustedAtTimes.reason)}.`)]
    : [{
        kind: 'table', folded: false,
        table: protectSmallCounts({
          ...percentTable({ groups: short, atTimes: adjustedAtTimes, question }), name: 'percent-revised-adjusted', title: 'Percent revised, with the same case mix',
          method: 'From a Cox model with a baseline of their own for the unit and its peers, averaged over the case mix of both together; at risk and revised as they are.',
        }),
      }];
  return [
    { kind: 'overTime', figure: percentRevisedFigure(analysis), table: plain, shownOnce: true },
    { kind: 'table', table: plain, folded: false },
    ...adjusted,
  ];
}


