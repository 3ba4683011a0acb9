import { windowOf } from '../../contract/visitWindows';
import type { VisitsAnalysis } from '../../visits/visitsResult';
import { caution, paragraph, type Block } from '../blocks';
import { isEstimate } from '../estimate';
import { formatConfidence, formatCount, formatPercent, formatPercentEstimate } from '../format';
import { finished, percentWords, quoted, type Words } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text, type Relation, type ReportTable } from '../table';
import { count, estimateCells, number, words } from '../tableCells';
import { pointsFigure } from './pointsFigure';
import { labelIn } from './visitLabels';

/** Who came to which visit: nothing below is of those who did not. */
export function whoCame(analysis: VisitsAnalysis): readonly Block[] {
  const { groups, visits, windows, question } = analysis, labelOfGroup = labelIn(groups);
  const table = protectSmallCounts(visitsTable(analysis));
  return [
    ...paragraph(finished([...cameWords(analysis)])),
    {
      kind: 'points', table,
      figure: pointsFigure({
        name: 'who-came', title: 'Percent seen of those due', caption: `Of procedures whose planned day was reached with the implant in place and the patient alive and in sight; ${formatConfidence(question.confidence)} limits (Wilson).`,
        unit: '%', places: windows.map((code) => windowOf(code).short), groups: groups.map(({ label }, position) => ({ label, position })), format: formatPercentEstimate,
        points: visits.map(({ group, window, percentSeen, seen, due }) => ({
          place: windows.indexOf(window), group: groups.findIndex(({ key }) => key === group), estimate: percentSeen, basis: [seen, due - seen],
        })),
      }),
    },
    ...groups.filter(({ withoutVisits }) => withoutVisits > 0).flatMap(({ key, withoutVisits, procedures }) => paragraph(finished([{
      text: `${formatCount(withoutVisits)} further procedures with ${quoted({ label: labelOfGroup(key) })} have neither a visit nor a missed one on record, beside ${formatCount(procedures)} that have: they are in nothing below.`, basis: [withoutVisits],
    }]))),
    caution('Those who come differ from those who don’t. What the missing could change stands beside each sign as the least and the most it could be.'),
  ];
}

function* cameWords({ visits, windows, groups, question: { confidence } }: VisitsAnalysis): Generator<Words> {
  const last = windows.at(-1);
  if (last === undefined) return;
  for (const { group, percentSeen, seen, due, window } of visits) {
    if (window !== last || !isEstimate(percentSeen)) continue;
    yield { text: `At ${windowOf(window).label.toLowerCase()}, ${percentWords(percentSeen, confidence)} of the ${formatCount(due)} due with ${quoted({ label: labelIn(groups)(group) })} were seen.`, basis: [seen, due - seen] };
  }
}

const visitsTable = ({ visits, groups }: VisitsAnalysis): ReportTable => ({
  name: 'visits', title: 'Visits', method: 'Due = seen + missed + not on record. Not due: revised, died, left or closed before the planned day. Wilson limits.',
  columns: [words('Visit'), words('Group'), number('Due'), number('Seen'), number('Missed'), number('Not on record'), number('Not due'), number('Outside its days'), number('Seen, %'), number('Lower'), number('Upper')],
  rows: visits.map((v) => ({
    block: v.window, group: groups.findIndex(({ key }) => key === v.group),
    cells: [
      text(windowOf(v.window).label), text(labelIn(groups)(v.group)), count(v.due), count(v.seen), count(v.missed), count(v.notRecorded), count(v.notDue), count(v.outsideWindow),
      ...estimateCells(v.percentSeen, formatPercent, [v.seen, v.due - v.seen]),
    ],
  })),
  relations: visits.flatMap(({ due, notDue, seen, outsideWindow }, row): Relation[] => [
    { whole: [row, 2], parts: [[row, 3], [row, 4], [row, 5]] },
    { whole: due + notDue, parts: [[row, 2], [row, 6]] }, // the procedures of the group
    { whole: [row, 3], parts: [[row, 7]], rest: seen - outsideWindow },
  ]),
});
