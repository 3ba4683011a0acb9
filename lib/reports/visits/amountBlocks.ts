import { windowOf } from '../../contract/visitWindows';
import type { AmountAtVisit, RepeatedMeasure, VisitsAnalysis } from '../../visits/visitsResult';
import { caution, paragraph, type Block } from '../blocks';
import { isEstimate } from '../estimate';
import { formatConfidence, formatCount, formatDecimal, formatLimits, formatList, formatP, formatPEquation, formatRatio } from '../format';
import { asSentence, finished, quoted, type Words } from '../phrases';
import { inSentence } from '../questionWords';
import { isSmall, protectSmallCounts } from '../smallCounts';
import { text, type ReportTable } from '../table';
import { count, derived, estimateCells, number, words } from '../tableCells';
import { importantBlocks } from './importantBlocks';
import { latestTold } from './latestVisit';
import { pointsFigure } from './pointsFigure';
import { signed, signedLimits } from './signedWords';
import { labelIn, positionIn } from './visitLabels';

/** A measured amount: means by visit, change from before surgery, and how the groups differ. Nothing where it was not measured. */
export function amountBlocks(analysis: VisitsAnalysis, measure: string): readonly Block[] {
  const visits = analysis.amounts.filter((amount) => amount.measure === measure), repeated = analysis.repeated.find((one) => one.measure === measure);
  const { groups } = analysis, last = latestTold(visits, (visit) => visit.groups.map(({ assessed }) => assessed));
  if (last === undefined) return [];
  const shown = visits.map(({ window }) => window);
  return [
    ...paragraph(finished([...wordsOf(analysis, last), ...(repeated === undefined ? [] : repeatedWords(repeated))])),
    ...(last.differences.length > 0 && last.groups.some(({ change }) => change !== null) ? [caution(
      'A change says how much a group gained; a difference adjusted for the value before says who is higher of those who began alike. Where groups began unlike the two can point opposite ways (Lord 1967, Psychol Bull 68:304), and neither is the implant’s doing alone.',
    )] : []),
    {
      kind: 'points', table: protectSmallCounts(meansTable(analysis, visits)),
      figure: pointsFigure({
        name: `mean-${last.measure}`, title: `${last.label}: mean`, caption: `Means of those assessed (${last.unit}), with ${formatConfidence(analysis.question.confidence)} limits.`, unit: last.unit,
        places: shown.map((code) => windowOf(code).short), groups: groups.map(({ label }, position) => ({ label, position })), format: (estimate) => `${formatDecimal(estimate.value)} (${formatLimits(estimate, formatDecimal)})`,
        points: visits.flatMap((visit) => visit.groups.map((one) => ({ place: shown.indexOf(visit.window), group: positionIn(groups)(one.group), estimate: one.mean, basis: [one.assessed] }))),
      }),
    },
    ...importantBlocks(analysis, visits, last),
    ...(visits.some((visit) => visit.differences.length > 0) ? [{ kind: 'table', folded: true, table: protectSmallCounts(differencesTable(analysis, visits)) } as const] : []),
    ...(repeated === undefined || repeated.differences.length === 0 ? [] : [{ kind: 'table', folded: true, table: protectSmallCounts(repeatedTable(analysis, repeated)) } as const]),
  ];
}

function wordsOf({ groups, question: { confidence } }: VisitsAnalysis, { window, unit, groups: of, differences, adjustedFor, notes }: AmountAtVisit): readonly Words[] {
  const label = labelIn(groups), at = windowOf(window).label.toLowerCase(), units = unit.startsWith('of') ? 'points' : unit;
  return [
    ...of.flatMap(({ group, change }) => (change === null || !isEstimate(change.mean) ? [] : [{
      text: `At ${at}, the change since before the procedure is ${signed(change.mean.value)} ${units} with ${quoted({ label: label(group) })} (${formatConfidence(confidence)} CI ${signedLimits(change.mean)}; ${formatCount(change.both)} assessed both times).`, basis: [change.both],
    }])),
    ...differences.flatMap(({ group, against, estimate, procedures }) => (isEstimate(estimate)
      ? [{ text: `At ${at}, ${quoted({ label: label(group) })} against ${quoted({ label: label(against) })}: ${signed(estimate.value)} ${units} (${formatConfidence(confidence)} CI ${signedLimits(estimate)})${
        adjustedFor.length === 0 ? '' : `, adjusted for ${formatList(adjustedFor.map(inSentence))}`}.`, basis: [procedures] }] : [])),
    ...notes.map((note) => ({ text: asSentence(note), basis: [] })),
  ];
}

const repeatedWords = ({ test, correlation, visits, patients, notes }: RepeatedMeasure): readonly Words[] => [
  ...('chisq' in test ? [{ text: `All visits taken together (${visits.toLocaleString('en-GB')} by ${patients.toLocaleString('en-GB')} patients, correlation within a patient ${formatRatio(correlation)}): ${test.p < 0.05 ? 'the groups differ at some visit' : 'no sign that the groups differ at any visit'} (${formatPEquation(test.p)}).`, basis: [patients] }] : []),
  ...notes.map((note) => ({ text: asSentence(note), basis: [] })),
];

const meansTable = ({ groups }: VisitsAnalysis, visits: readonly AmountAtVisit[]): ReportTable => {
  const changes = visits.some((visit) => visit.groups.some(({ change }) => change !== null)), ends = visits.some((visit) => visit.groups.some(({ atLeast, atMost }) => atLeast + atMost > 0));
  return {
    name: `mean-${visits[0]?.measure ?? ''}`, title: `${visits[0]?.label ?? ''} at each visit`, method: 'Mean of those assessed with t limits. Change: of those assessed both before surgery and now. At the ends: how many cannot be lower or higher on the scale.',
    columns: [
      words('Visit'), words('Group'), number('Due'), number('Assessed'), number('Mean'), number('Lower'), number('Upper'), number('SD'),
      ...(changes ? [number('Both visits'), number('Change'), number('Change, lower'), number('Change, upper')] : []), ...(ends ? [number('At the lowest'), number('At the highest')] : []),
    ],
    rows: visits.flatMap(({ window, groups: of }) => of.map((one) => ({
      block: window, group: positionIn(groups)(one.group),
      cells: [
        text(windowOf(window).label), text(labelIn(groups)(one.group)), count(one.due), count(one.assessed), ...estimateCells(one.mean, formatDecimal, [one.assessed]),
        Number.isNaN(one.standardDeviation) ? text('') : derived(one.standardDeviation, formatDecimal, [one.assessed]),
        ...(!changes ? [] : one.change === null ? [text(''), text(''), text(''), text('')] : [count(one.change.both), ...estimateCells(one.change.mean, signed, [one.change.both])]),
        ...(ends ? [count(one.atLeast), count(one.atMost)] : []),
      ],
    }))),
  };
};

const differencesTable = ({ groups }: VisitsAnalysis, visits: readonly AmountAtVisit[]): ReportTable => ({
  name: `difference-${visits[0]?.measure ?? ''}`, title: `${visits[0]?.label ?? ''}: differences between the groups`,
  method: `Least squares${visits.some(({ adjustedFor }) => adjustedFor.length > 0) ? `, adjusted for ${visits.find(({ adjustedFor }) => adjustedFor.length > 0)?.adjustedFor.join(', ') ?? ''}` : ''}; robust limits.`,
  columns: [words('Visit'), words('Group'), words('Against'), number('In the model'), number('Difference'), number('Lower'), number('Upper'), number('p')],
  rows: visits.flatMap(({ window, differences }) => differences.map((one) => ({
    block: window, group: positionIn(groups)(one.group),
    cells: [
      text(windowOf(window).label), text(labelIn(groups)(one.group)), text(labelIn(groups)(one.against)), count(one.procedures), ...estimateCells(one.estimate, signed, [one.procedures]),
      isEstimate(one.estimate) ? derived(one.p, formatP, [one.procedures]) : text(''),
    ],
  }))),
});

const repeatedTable = ({ groups }: VisitsAnalysis, { measure, label, unit, differences, patients, adjustedFor }: RepeatedMeasure): ReportTable => ({
  name: `repeated-${measure}`, title: `${label}: all visits in one model`,
  method: `Generalised estimating equations, exchangeable within a patient, robust limits${adjustedFor.length > 0 ? `; adjusted for ${adjustedFor.join(', ')}` : ''} (Liang & Zeger 1986). ${isSmall(patients) ? '' : `${patients.toLocaleString('en-GB')} patients.`}`,
  columns: [words('Visit'), words('Group'), words('Against'), number(unit === null ? 'Odds ratio' : 'Difference'), number('Lower'), number('Upper'), number('p')],
  rows: differences.map((one) => ({
    block: one.window ?? 'all', group: positionIn(groups)(one.group),
    cells: [
      text(one.window === null ? 'All' : windowOf(one.window).label), text(labelIn(groups)(one.group)), text(labelIn(groups)(one.against)), ...estimateCells(one.estimate, unit === null ? formatRatio : signed, [patients]),
      isEstimate(one.estimate) ? derived(one.p, formatP, [patients]) : text(''),
    ],
  })),
});
