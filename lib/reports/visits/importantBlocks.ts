import { windowOf } from '../../contract/visitWindows';
import type { Amount, AmountAtVisit, VisitsAnalysis } from '../../visits/visitsResult';
import { paragraph, type Block } from '../blocks';
import { isEstimate } from '../estimate';
import { formatConfidence, formatDecimal, formatLimits, formatPercent } from '../format';
import { finished, quoted, type Words } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text, type ReportTable } from '../table';
import { count, derived, estimateCells, number, words } from '../tableCells';
import { signed } from './signedWords';
import { labelIn, positionIn } from './visitLabels';

/** Who gained the important difference. Nothing unless the question names one for the measure, with where it comes from. `told`: the visit that words speak of. */
export function importantBlocks(analysis: VisitsAnalysis, visits: readonly AmountAtVisit[], told: AmountAtVisit): readonly Block[] {
  const asked = visits.filter(({ groups }) => groups.some(({ important }) => important !== null));
  return asked.length === 0 ? [] : [
    ...paragraph(finished(wordsOf(analysis, told))),
    { kind: 'table', folded: false, table: protectSmallCounts(importantTable(analysis, asked)) },
  ];
}

/** Those who gained it and those who did not. */
const basisOf = ({ important, change }: Amount): readonly number[] => (important === null ? [] : [important.count, (change?.both ?? 0) - important.count]);

function wordsOf({ groups, question: { confidence, importantDifference: of } }: VisitsAnalysis, told: AmountAtVisit): readonly Words[] {
  if (of === null) return [];
  return [
    ...told.groups.flatMap((one) => (one.important === null || !isEstimate(one.important.percent) ? [] : [{
      text: `At ${windowOf(told.window).label.toLowerCase()}, ${formatPercent(one.important.percent.value)}% with ${quoted({ label: labelIn(groups)(one.group) })} gained the important difference of ${formatDecimal(of.value)} or more (${
        formatConfidence(confidence)} CI ${formatLimits(one.important.percent, formatPercent)}).`,
      basis: basisOf(one),
    }])),
    { text: `The important difference is that of ${of.instrument} (anchor: ${of.anchor}; population: ${of.population}; ${of.source}); it does not carry to another instrument or population.`, basis: [] },
  ];
}

const importantTable = ({ groups, question: { importantDifference: of } }: VisitsAnalysis, visits: readonly AmountAtVisit[]): ReportTable => ({
  name: `important-${visits[0]?.measure ?? ''}`, title: `${visits[0]?.label ?? ''}: who gained ${formatDecimal(of?.value ?? NaN)} or more`,
  method: `${of?.instrument ?? ''}; anchor: ${of?.anchor ?? ''}; population: ${of?.population ?? ''}; source: ${of?.source ?? ''}. Percent of those assessed both before surgery and now; Wilson limits. Percentage points: Newcombe’s limits, method 10. “If lost”: percent of all due if none, and if all, of the others had gained it.`,
  columns: [
    words('Visit'), words('Group'), number('Due'), number('Both visits'), number('Gained it'), number('%'), number('Lower'), number('Upper'), number('If lost, least %'), number('If lost, most %'),
    words('Against'), number('Points'), number('Points, lower'), number('Points, upper'),
  ],
  rows: visits.flatMap(({ window, groups: all, differences }) => all.flatMap((one) => {
    const { important, change } = one, apart = differences.find(({ group }) => group === one.group), basis = basisOf(one);
    if (important === null) return [];
    const against = all.find(({ group }) => group === apart?.against);
    return [{
      block: window, group: positionIn(groups)(one.group),
      cells: [
        text(windowOf(window).label), text(labelIn(groups)(one.group)), count(one.due), count(change?.both ?? 0), count(important.count), ...estimateCells(important.percent, formatPercent, basis),
        ...(important.ifLost === null ? [text(''), text('')] : [derived(important.ifLost.none, formatPercent, basis), derived(important.ifLost.all, formatPercent, [...basis, one.due - (change?.both ?? 0)])]),
        ...(apart?.importantPoints == null ? [text(''), text(''), text(''), text('')]
          : [text(labelIn(groups)(apart.against)), ...estimateCells(apart.importantPoints, signed, [...basis, ...(against === undefined ? [] : basisOf(against))])]),
      ],
    }];
  })),
  relations: visits.flatMap(({ groups: all }) => all.filter(({ important }) => important !== null)).map(({ important, change }, row) => ({ whole: [row, 3], parts: [[row, 4]], rest: (change?.both ?? 0) - (important?.count ?? 0) })),
});
