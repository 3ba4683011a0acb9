import type { Estimate } from '../../analysis/result';
import { windowOf } from '../../contract/visitWindows';
import type { NotEstimable } from '../../stats/cells';
import type { SignAtVisit, VisitsAnalysis } from '../../visits/visitsResult';
import { paragraph, type Block } from '../blocks';
import { isEstimate } from '../estimate';
import { formatConfidence, formatCount, formatPercent, formatPercentEstimate } from '../format';
import { capital, finished, percentWords, quoted, type Words } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ReportTable } from '../table';
import { count, derived, estimateCells, number, words } from '../tableCells';
import { latestTold } from './latestVisit';
import { pointsFigure } from './pointsFigure';
import { signed, signedLimits } from './signedWords';
import { labelIn, positionIn } from './visitLabels';

/** One sign: how often at which visit, and how the groups differ. Nothing where it was not read. */
export function signBlocks(analysis: VisitsAnalysis, measure: string): readonly Block[] {
  const visits = analysis.signs.filter((sign) => sign.measure === measure), [first] = visits, { groups, windows } = analysis;
  const last = latestTold(visits, (visit) => visit.groups.map(({ assessed }) => assessed));
  if (first === undefined || last === undefined) return [];
  const shown = windows.filter((code) => visits.some(({ window }) => window === code));
  return [
    ...paragraph(finished(wordsOf(analysis, last))),
    {
      kind: 'points', table: protectSmallCounts(prevalenceTable(analysis, visits)),
      figure: pointsFigure({
        name: `sign-${first.measure}`, title: `${first.label}: ${first.present}`, caption: `Percent of those assessed, with ${formatConfidence(analysis.question.confidence)} limits (Wilson).`, unit: '%',
        places: shown.map((code) => windowOf(code).short), groups: groups.map(({ label }, position) => ({ label, position })), format: formatPercentEstimate,
        points: visits.flatMap((visit) => visit.groups.map((of) => ({ place: shown.indexOf(visit.window), group: positionIn(groups)(of.group), estimate: of.percent, basis: [of.present, of.assessed - of.present] }))),
      }),
    },
    ...(groups.length > 1 ? [{ kind: 'table', folded: true, table: protectSmallCounts(differencesTable(analysis, visits)) } as const] : []),
  ];
}

function wordsOf({ groups, question: { confidence } }: VisitsAnalysis, { window, groups: of, differences }: SignAtVisit): readonly Words[] {
  const at = windowOf(window).label.toLowerCase(), label = labelIn(groups);
  return [
    ...of.flatMap((one) => (isEstimate(one.percent)
      ? [{ text: `At ${at}: ${formatCount(one.present)} of ${formatCount(one.assessed)} assessed with ${quoted({ label: label(one.group) })}, ${percentWords(one.percent, confidence)}.`, basis: [one.present, one.assessed - one.present] }] : [])),
    ...differences.flatMap((one) => (isEstimate(one.points)
      ? [{
        text: `${capital(quoted({ label: label(one.group) }))} against ${quoted({ label: label(one.against) })}: ${signed(one.points.value)} percentage points (${formatConfidence(confidence)} CI ${signedLimits(one.points)})`
          + `${one.ifLost === null ? '' : `; anything from ${signed(one.ifLost.least)} to ${signed(one.ifLost.most)} if those not assessed were as unlike as can be`}.`,
        basis: of.flatMap(({ present, assessed }) => [present, assessed - present]),
      }] : [])),
  ];
}

/** Limits of what stands elsewhere. */
const limitCells = (estimate: Estimate | NotEstimable, format: (value: number) => string, basis: readonly number[]): readonly Cell[] =>
  (isEstimate(estimate) ? [derived(estimate.lower, format, basis), derived(estimate.upper, format, basis)] : [text(''), text('')]);

const prevalenceTable = ({ groups }: VisitsAnalysis, visits: readonly SignAtVisit[]): ReportTable => ({
  name: `sign-${visits[0]?.measure ?? ''}`, title: `${visits[0]?.label ?? ''}: ${visits[0]?.present ?? ''}, at each visit`,
  method: 'Percent of those assessed; Wilson limits. “Both sides”: limits with the numbers divided by the design effect of patients with both shoulders. “If lost”: percent of all due if none, and if all, of those not assessed had the sign.',
  columns: [
    words('Visit'), words('Group'), number('Due'), number('Seen'), number('Assessed'), number('With the sign'), number('%'), number('Lower'), number('Upper'),
    number('Both sides, lower'), number('Both sides, upper'), number('If lost, least %'), number('If lost, most %'),
  ],
  rows: visits.flatMap(({ window, groups: of }) => of.map((one) => {
    const basis = [one.present, one.assessed - one.present];
    const allowing = limitCells(one.allowingForBothSides, formatPercent, basis);
    const lost = one.ifLost === null ? [text(''), text('')] : [derived(one.ifLost.none, formatPercent, basis), derived(one.ifLost.all, formatPercent, [...basis, one.due - one.assessed])];
    return {
      block: window, group: positionIn(groups)(one.group),
      cells: [text(windowOf(window).label), text(labelIn(groups)(one.group)), count(one.due), count(one.seen), count(one.assessed), count(one.present), ...estimateCells(one.percent, formatPercent, basis), ...allowing, ...lost],
    };
  })),
  relations: visits.flatMap(({ groups: of }) => of).map(({ assessed, present }, row) => ({ whole: [row, 4], parts: [[row, 5]], rest: assessed - present })),
});

const differencesTable = ({ groups }: VisitsAnalysis, visits: readonly SignAtVisit[]): ReportTable => ({
  name: `sign-difference-${visits[0]?.measure ?? ''}`, title: `${visits[0]?.label ?? ''}: ${visits[0]?.present ?? ''}, differences between the groups`,
  method: 'Percentage points; Newcombe’s limits, method 10 (1998). “Both sides”: limits with the numbers divided by the design effect of patients with both shoulders. “Least” and “most”: whatever those due and not assessed had.',
  columns: [words('Visit'), words('Group'), words('Against'), number('Points'), number('Lower'), number('Upper'), number('Both sides, lower'), number('Both sides, upper'), number('Least'), number('Most')],
  rows: visits.flatMap(({ window, groups: of, differences }) => differences.map((one) => {
    const basis = of.filter(({ group }) => group === one.group || group === one.against).flatMap(({ present, assessed }) => [present, assessed - present]);
    const allowing = limitCells(one.allowingForBothSides, signed, basis);
    return {
      block: window, group: positionIn(groups)(one.group),
      cells: [
        text(windowOf(window).label), text(labelIn(groups)(one.group)), text(labelIn(groups)(one.against)), ...estimateCells(one.points, signed, basis), ...allowing,
        ...(one.ifLost === null ? [text(''), text('')] : [derived(one.ifLost.least, signed, basis), derived(one.ifLost.most, signed, basis)]),
      ],
    };
  })),
});
