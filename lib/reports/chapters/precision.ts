import type { GroupPrecision, Precision } from '../../analysis/chapters/precisionResult';
import type { Analysis } from '../../analysis/result';
import { formatConfidence, formatCount, formatDecimal, formatExpected, formatRatio, formatSpan } from '../format';
import { asSentence, finished, quoted, reasonWords, type Words } from '../phrases';
import { protectSmallCounts as guarded } from '../smallCounts';
import { text, type Cell, type ReportTable, type Row } from '../table';
import { count, derived, number, plain, words } from '../tableCells';
import { caution, paragraph } from '../blocks';
import type { Content } from './chapterReport';
import { stepAt } from '../toldDays';
import { timesShown } from '../timesShown';

export function precisionContent(analysis: Analysis, result: Precision): Content {
  const reference = analysis.groups.find(({ key }) => key === result.reference) ?? { label: result.reference };
  return {
    blocks: [
      ...paragraph(finished([{
        text: `What this many procedures would show, whatever they did show: a ratio is counted as seen with a power of ${formatConfidence(result.power)} at a two-sided level of ${formatConfidence(result.alpha)}.`, basis: [],
      }])),
      ...result.groups.flatMap((group) => paragraph(finished(groupWords(group, reference, result.referencePerYear)))),
      caution('No signal is not safety: any ratio smaller than those below would most likely have passed unseen.'),
      { kind: 'table', table: guarded(precisionTable(analysis, result)), folded: false },
    ],
  };
}

const largestWorthSaying = 10;

/** Days read as years, rounded up: nothing is seen before its time. */
const yearsUp = (days: number): string => formatSpan(Math.ceil(days / 36.525) / 10);

function groupWords(group: GroupPrecision, reference: { readonly label: string }, referencePerYear: number): Words[] {
  const { procedures, perYear, doublingSeenFrom: from, doublingSeenAfter: after } = group, name = quoted(group);
  const last = [...group.atTimes].reverse().find(({ detectable }) => typeof detectable === 'number');
  const seen = last === undefined || typeof last.detectable !== 'number' ? [] : [{
    text: last.detectable > largestWorthSaying
      ? `By ${formatSpan(last.years)} not even a ratio of ${largestWorthSaying} would be seen.` : `By ${formatSpan(last.years)} a ratio of ${formatRatio(last.detectable)} or more would be seen.`,
    basis: [last.referenceEvents],
  }];
  const doubling = from.status === 'ok'
    ? `a revision rate double that of ${quoted(reference)} would be seen from ${yearsUp(from.day)} after surgery on.`
    : `a revision rate double that of ${quoted(reference)} would not be seen. ${asSentence(from.reason)}`;
  return [
    { text: `With the ${formatCount(procedures)} procedures of ${name} and their follow-up so far, ${doubling}`, basis: [procedures] },
    ...seen,
    {
      text: after.status === 'ok'
        ? `At their pace so far (${formatCount(perYear)} and ${formatCount(referencePerYear)} procedures a year), two designs started today would show a doubling after ${yearsUp(after.days)}.`
        : `At its pace so far (${formatCount(perYear)} procedures a year) a doubling would not be seen: ${reasonWords(after.reason)}.`,
      basis: [],
    },
  ];
}

type AtTime = GroupPrecision['atTimes'][number];

function detectableCells({ expected, detectable, referenceEvents, atRisk }: AtTime, step: readonly number[]): readonly Cell[] {
  const basis = [referenceEvents, atRisk, ...step];
  return [
    typeof expected === 'number' ? derived(expected, formatExpected, basis) : { text: expected.reason, basis },
    typeof detectable === 'number' ? derived(detectable, formatRatio, basis) : { text: detectable.reason, basis },
  ];
}

const precisionTable = (analysis: Analysis, { groups, power, alpha }: Precision): ReportTable => ({
  name: 'what-could-be-seen',
  title: 'The smallest hazard ratio that would be seen',
  method: `Schoenfeld 1983, Biometrics 39:499, power ${formatConfidence(power)}, two-sided level ${formatConfidence(alpha)}. Expected: revisions of the group by the time, were it revised as the reference is, with the follow-up that it has had.`,
  columns: [
    words('Time'), words('Group'), number('Procedures'), number('Procedures a year'), number('At risk'), number('Expected revisions'), number('Revised in the reference'), number('Smallest ratio seen'),
  ],
  rows: timesShown(analysis.question).flatMap((years) => groups.flatMap((group): Row[] => {
    const at = group.atTimes.find((a) => a.years === years);
    if (at === undefined) return [];
    const [expected, detectable] = detectableCells(at, stepAt(analysis, analysis.reference, years));
    return [{
      block: String(years), group: analysis.groups.findIndex((g) => g.key === group.group),
      cells: [text(formatSpan(years)), text(group.label), count(group.procedures), plain(group.perYear, formatDecimal), count(at.atRisk), expected!, { ...count(at.referenceEvents), basis: [at.referenceEvents, ...stepAt(analysis, analysis.reference, years)] }, detectable!],
    }];
  })),
});
