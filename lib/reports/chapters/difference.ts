import type { Difference } from '../../analysis/chapters/differenceResult';
import type { Analysis } from '../../analysis/result';
import type { View } from '../../contract/view';
import { bandWords, percentDrawing } from '../curveFigure';
import { formatCount, formatList, formatRatio } from '../format';
import { finished } from '../phrases';
import { protectSmallCounts as guarded } from '../smallCounts';
import { timeFigure, type TimeFigure } from '../timeFigure';
import { caution, heading, paragraph, type Block } from '../blocks';
import type { Content } from './chapterReport';
import { conditionalTable, differenceTable, hazardTable, meanTimeTable, ratioOfPercentsTable } from './differenceTables';
import { basisOf, conditionalWords, contrastWords, leadingTime, meanTimeWords, proceduresWords } from './differenceWords';

export function differenceContent(analysis: Analysis, result: Difference, view: View): Content {
  const reference = analysis.groups.find(({ key }) => key === result.reference) ?? { label: result.reference };
  return {
    notes: [],
    blocks: [
      ...(result.contrasts.length > 0 ? contrastBlocks(analysis, result, reference) : []),
      ...conditionalBlocks(analysis, result),
      ...hazardBlocks(analysis, result, view),
    ],
  };
}

function contrastBlocks(analysis: Analysis, result: Difference, reference: { readonly label: string }): readonly Block[] {
  const words = result.contrasts.flatMap((contrast) => {
    const at = leadingTime(contrast);
    const procedures = at === undefined ? [] : [{
      text: proceduresWords(at.proceduresPerRevision, at.years, contrast, reference, analysis.question.confidence), basis: basisOf(analysis, contrast.group, at),
    }];
    return paragraph(finished([...contrastWords(analysis, contrast, reference), ...procedures]));
  });
  return [
    ...words,
    ...paragraph(finished(result.notes.filter((note) => !analysis.notes.includes(note)).map((text) => ({ text, basis: [] })))),
    caution('A number of procedures per revision belongs to its time, supposes that patients did not die, and lays to the implant’s account whatever else sets the groups apart and is not recorded.'),
    { kind: 'table', table: guarded(differenceTable(analysis, result)), folded: false },
    { kind: 'table', table: guarded(ratioOfPercentsTable(analysis, result)), folded: true },
    heading('Mean time free of revision'),
    ...paragraph(finished(meanTimeWords(analysis, result, reference))),
    ...(result.restrictedMean.status === 'ok' ? [{ kind: 'table', table: guarded(meanTimeTable(analysis, result)), folded: true } as const] : []),
  ];
}

const conditionalBlocks = (analysis: Analysis, result: Difference): readonly Block[] => (result.conditional.length === 0 ? [] : [
  heading('Once the first years are past'),
  ...paragraph(finished(conditionalWords(analysis, result))),
  { kind: 'table', table: guarded(conditionalTable(analysis, result)), folded: true },
]);

const hazardBlocks = (analysis: Analysis, result: Difference, view: View): readonly Block[] => [
  heading('When the revisions come'),
  ...paragraph(finished([{ text: 'How often those still unrevised are revised at each time since surgery. Where a line climbs late, the risk is not over.', basis: [] }])),
  { kind: 'overTime', figure: hazardFigure(analysis, result, view), table: guarded(hazardTable(analysis, result)) },
];

function hazardFigure(analysis: Analysis, { hazards }: Difference, view: View): TimeFigure {
  const bandwidths = [...new Set(hazards.flatMap(({ curve }) => (curve.status === 'ok' ? [curve.bandwidthDays] : [])))].sort((a, b) => a - b);
  return timeFigure({
    ...percentDrawing(analysis),
    name: 'hazard-over-time', title: 'Revisions per 100 component-years by time since surgery',
    unit: '', valueLabel: 'Per 100 component-years', shape: 'smooth', unread: 'too few at risk',
    format: ({ value, lower, upper }) => `${formatRatio(value)} (${formatRatio(lower)}–${formatRatio(upper)}) per 100 years`,
    caption: `Revisions per 100 component-years, smoothed over ${formatList(bandwidths.map((days) => `${formatCount(days)} days`), 'or')} to either side${bandWords(view)}, at each time by itself. Ripples narrower than that are not to be read.`,
    lines: hazards.flatMap(({ label, curve }, group) => (curve.status === 'notEstimable' ? [] : [{
      label, group, thin: false, told: [],
      trace: { days: curve.days, values: curve.per100, lower: curve.lower, upper: curve.upper, atRisk: curve.atRisk, lastDay: curve.days.at(-1) ?? 0 },
    }])),
  }, view);
}
