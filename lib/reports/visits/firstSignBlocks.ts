import type { FirstSign, VisitsAnalysis } from '../../visits/visitsResult';
import { paragraph, type Block } from '../blocks';
import { formatConfidence, formatPercent, formatPercentEstimate, formatPoints, formatSpan } from '../format';
import { asSentence, finished } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text, type ReportTable } from '../table';
import { count, estimateCells, number, plain, words } from '../tableCells';
import { pointsFigure } from './pointsFigure';
import { labelIn, positionIn } from './visitLabels';

/** When signs first came: known only to lie between two visits. */
export function firstSignBlocks(analysis: VisitsAnalysis): readonly Block[] {
  const options = analysis.firstSigns.map((first) => ({ label: first.label, blocks: ofSign(analysis, first) }));
  return options.length === 0 ? [] : [{ kind: 'choice', label: 'First signs', options }];
}

function ofSign(analysis: VisitsAnalysis, first: FirstSign): readonly Block[] {
  const years = first.groups[0]?.atYears.map(({ years: at }) => at) ?? [];
  return [
    ...paragraph(finished(first.notes.map((note) => ({ text: asSentence(note), basis: [] })))),
    {
      kind: 'points', table: protectSmallCounts(atYearsTable(analysis, first)),
      figure: pointsFigure({
        name: `first-${first.measure}`, title: `${first.label}: percent in whom it has come`, unit: '%', places: years.map(formatSpan), groups: analysis.groups.map(({ label }, position) => ({ label, position })),
        caption: `Turnbull’s estimate for times known only between visits, with ${formatConfidence(analysis.question.confidence)} limits.`, format: formatPercentEstimate,
        points: first.groups.flatMap((group) => group.atYears.map(({ years: at, estimate }) => ({
          place: years.indexOf(at), group: positionIn(analysis.groups)(group.group), estimate, basis: [group.seenAtFirst + group.seenLater],
        }))),
      }),
    },
    { kind: 'table', folded: true, table: protectSmallCounts(countsTable(analysis, first)) },
  ];
}

const atYearsTable = ({ groups }: VisitsAnalysis, { measure, label, groups: of, differences }: FirstSign): ReportTable => ({
  name: `first-${measure}`, title: `${label}: percent in whom it has come`, method: 'Turnbull 1976, J R Stat Soc B 38:290. Between two visits nothing is known; a curve over the dates of visits would place each sign too late.',
  columns: [words('Years'), words('Group'), number('%'), number('Lower'), number('Upper'), words('Against'), number('Points'), number('Points, lower'), number('Points, upper')],
  rows: (of[0]?.atYears ?? []).flatMap(({ years }) => of.map((one) => {
    const at = one.atYears.find((found) => found.years === years), apart = differences.find((found) => found.years === years && found.group === one.group), basis = [one.seenAtFirst + one.seenLater];
    return {
      block: `${years}`, group: positionIn(groups)(one.group),
      cells: [
        text(formatSpan(years)), text(labelIn(groups)(one.group)), ...(at === undefined ? [text(''), text(''), text('')] : estimateCells(at.estimate, formatPercent, basis)),
        ...(apart === undefined ? [text(''), text(''), text(''), text('')] : [text(labelIn(groups)(apart.against)), ...estimateCells(apart.points, formatPoints, basis)]),
      ],
    };
  })),
});

const countsTable = ({ groups }: VisitsAnalysis, { measure, label, groups: of }: FirstSign): ReportTable => ({
  name: `first-counts-${measure}`, title: `${label}: when it was seen`, method: 'By procedure. A sign that a later visit did not see again is taken as present from the first time on.', blocksAddUp: true,
  columns: [words('Group'), number('Assessed'), number('At the first visit'), number('Between two visits'), number('Never'), number('Later not seen again'), number('Steps')],
  rows: of.map((one) => ({
    group: positionIn(groups)(one.group),
    cells: [text(labelIn(groups)(one.group)), count(one.procedures), count(one.seenAtFirst), count(one.seenLater), count(one.neverSeen), count(one.laterNotSeen), plain(one.steps.length)],
  })),
  relations: of.map((_, row) => ({ whole: [row, 1], parts: [[row, 2], [row, 3], [row, 4]] })),
});
