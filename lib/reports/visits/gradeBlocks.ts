import { windowOf } from '../../contract/visitWindows';
import type { GradesAtVisit, VisitsAnalysis } from '../../visits/visitsResult';
import { paragraph, type Block } from '../blocks';
import { isEstimate } from '../estimate';
import { formatConfidence, formatP, formatPEquation, formatRatio } from '../format';
import { asSentence, finished, quoted, ratioWords, type Words } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text, type Place, type ReportTable } from '../table';
import { count, derived, estimateCells, number, words } from '../tableCells';
import { latestTold } from './latestVisit';
import { labelIn, positionIn } from './visitLabels';

/** Ordered grades: their counts at each visit and how the groups compare. Nothing where the measure has none. */
export function gradeBlocks(analysis: VisitsAnalysis, measure: string): readonly Block[] {
  const visits = analysis.grades.filter((grades) => grades.measure === measure), last = latestTold(visits, ({ counts }) => counts.map(total));
  if (last === undefined) return [];
  return [
    ...paragraph(finished(wordsOf(analysis, last))),
    { kind: 'table', folded: false, table: protectSmallCounts(countsTable(analysis, visits)) },
    ...(analysis.groups.length > 1 ? [{ kind: 'table', folded: true, table: protectSmallCounts(comparisonsTable(analysis, visits)) } as const] : []),
  ];
}

const total = (counts: readonly number[] | undefined): number => (counts ?? []).reduce((sum, n) => sum + n, 0);

function wordsOf({ groups, question: { confidence } }: VisitsAnalysis, { window, comparisons, proportionalOdds, notes, counts }: GradesAtVisit): readonly Words[] {
  const label = labelIn(groups), basis = counts.flat();
  return [
    ...comparisons.flatMap(({ group, against, higher, oddsRatio }) => (isEstimate(higher)
      ? [{
        text: `At ${windowOf(window).label.toLowerCase()}, one with ${quoted({ label: label(group) })} has the higher grade with a chance of ${formatRatio(higher.value)} (${formatConfidence(confidence)} CI ${formatRatio(higher.lower)}–${formatRatio(higher.upper)}; 0.5: alike) against one with ${
          quoted({ label: label(against) })}${isEstimate(oddsRatio) ? `; odds ratio of a higher grade ${ratioWords(oddsRatio, confidence)}` : ''}.`, basis,
      }] : [])),
    ...('chisq' in proportionalOdds ? [{ text: proportionalOdds.p < 0.05
      ? `One odds ratio does not serve every cut between grades (${formatPEquation(proportionalOdds.p)}): read the counts.` : `No sign that the cuts between grades differ (${formatPEquation(proportionalOdds.p)}).`, basis: [] }] : []),
    ...notes.map((note) => ({ text: asSentence(note), basis: [] })),
  ];
}

const countsTable = ({ groups }: VisitsAnalysis, visits: readonly GradesAtVisit[]): ReportTable => ({
  name: `grades-${visits[0]?.measure ?? ''}`, title: `${visits[0]?.label ?? ''}: grades at each visit`, method: 'Numbers of those assessed.',
  columns: [words('Visit'), words('Group'), number('Assessed'), ...(visits[0]?.levels ?? []).map(({ label }) => number(label))],
  rows: visits.flatMap(({ window, counts }) => groups.map(({ label }, g) => ({
    block: `${window}-${g}`, group: g, cells: [text(windowOf(window).label), text(label), count(total(counts[g])), ...(counts[g] ?? []).map(count)],
  }))),
  relations: visits.flatMap(({ levels }) => groups.map(() => levels.length)).map((levels, row) => ({ whole: [row, 2], parts: Array.from({ length: levels }, (_, l): Place => [row, 3 + l]) })),
});

const comparisonsTable = ({ groups }: VisitsAnalysis, visits: readonly GradesAtVisit[]): ReportTable => ({
  name: `grades-compared-${visits[0]?.measure ?? ''}`, title: `${visits[0]?.label ?? ''}: how the groups compare`,
  method: `Chance of a higher grade, ties counting half; odds ratio by the proportional-odds model${(visits[0]?.adjustedFor.length ?? 0) > 0 ? `, adjusted for ${visits[0]?.adjustedFor.join(', ') ?? ''}` : ''}; robust limits.`,
  columns: [words('Visit'), words('Group'), words('Against'), number('Chance of a higher grade'), number('Lower'), number('Upper'), number('Odds ratio'), number('Lower limit'), number('Upper limit'), number('p')],
  rows: visits.flatMap(({ window, comparisons, counts }) => comparisons.map((one) => {
    const basis = counts.flat();
    return {
      block: window, group: positionIn(groups)(one.group),
      cells: [
        text(windowOf(window).label), text(labelIn(groups)(one.group)), text(labelIn(groups)(one.against)), ...estimateCells(one.higher, formatRatio, basis), ...estimateCells(one.oddsRatio, formatRatio, basis),
        isEstimate(one.oddsRatio) ? derived(one.p, formatP, basis) : text(''),
      ],
    };
  })),
});
