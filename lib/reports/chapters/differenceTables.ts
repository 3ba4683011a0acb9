import type { Difference } from '../../analysis/chapters/differenceResult';
import type { Analysis } from '../../analysis/result';
import { isEstimate } from '../estimate';
import { formatConfidence, formatCount, formatP, formatPercent, formatPoints, formatRatio, formatSpan } from '../format';
import { text, type Cell, type ReportTable, type Row } from '../table';
import { count, derived, estimateCells, number, plain, words } from '../tableCells';
import { stepAt } from '../toldDays';
import { timesShown } from '../timesShown';
import { basisOf } from './differenceWords';

const position = ({ groups }: Analysis, key: string): number => groups.findIndex((g) => g.key === key);
const level = ({ question }: Analysis): string => `limits at ${formatConfidence(question.confidence)}`;

/** Percentage points by time, as the groups are and with one case mix, and what that is in procedures. */
export const differenceTable = (analysis: Analysis, { contrasts }: Difference): ReportTable => ({
  name: 'difference-in-percent-revised',
  title: 'Difference in percent revised, against the reference',
  method: `Percentage points, below 0: fewer revised than in the reference. As they are: from the Kaplan–Meier curves. Same case mix: both groups standardised to the case mix of the cohort. Procedures for one revision: the inverse of the latter; ${level(analysis)}.`,
  columns: [
    words('Time'), words('Group'), number('Revised'), number('Revised in the reference'), number('As they are'), number('As they are, lower'), number('As they are, upper'),
    number('Same case mix'), number('Same case mix, lower'), number('Same case mix, upper'), number('Procedures for one revision'), number('Procedures, lower'), number('Procedures, upper'),
  ],
  rows: rowsByTime(analysis, contrasts, (at, group) => {
    const basis = basisOf(analysis, group, at), counted = (of: string, n: number) => ({ ...count(n), basis: [n, ...stepAt(analysis, of, at.years)] });
    return [
      counted(group, at.events.group), counted(analysis.reference, at.events.reference), ...estimateCells(at.unadjusted.difference, formatPoints, basis), ...estimateCells(at.adjusted.difference, formatPoints, basis),
      ...proceduresCells(at.proceduresPerRevision, basis),
    ];
  }),
});

const up = (value: number): string => (Number.isFinite(value) ? formatCount(Math.ceil(value)) : 'any number');

function proceduresCells(result: Difference['contrasts'][number]['atTimes'][number]['proceduresPerRevision'], basis: readonly number[]): readonly Cell[] {
  if (result.status === 'notEstimable') return [{ text: '–', basis }, text(''), text('')];
  if (result.status === 'spansZero') return [{ text: 'either way', basis }, derived(result.moreFrom, (n) => `${up(n)} more`, basis), derived(result.fewerFrom, (n) => `${up(n)} fewer`, basis)];
  return [derived(result.procedures, (n) => `${up(n)} ${result.effect}`, basis), derived(result.lower, up, basis), derived(result.upper, up, basis)];
}

export const ratioOfPercentsTable = (analysis: Analysis, { contrasts }: Difference): ReportTable => ({
  name: 'ratio-of-percents-revised',
  title: 'Ratio of percents revised, and test at each time',
  method: `As they are: from the Kaplan–Meier curves, with a test at the one time alone (Klein et al. 2007, Stat Med 26:4505). Same case mix: standardised; ${level(analysis)}.`,
  columns: [
    words('Time'), words('Group'), number('As they are'), number('As they are, lower'), number('As they are, upper'), number('χ²'), number('p'),
    number('Same case mix'), number('Same case mix, lower'), number('Same case mix, upper'),
  ],
  rows: rowsByTime(analysis, contrasts, (at, group) => {
    const { unadjusted: { ratio, test }, adjusted } = at, basis = basisOf(analysis, group, at);
    const tested = test.status === 'ok' ? [derived(test.chisq, formatRatio, basis), derived(test.p, formatP, basis)] : [text('–'), text('')];
    return [...estimateCells(ratio, formatRatio, basis), ...tested, ...estimateCells(adjusted.ratio, formatRatio, basis)];
  }),
});

type Contrasts = Difference['contrasts'];

const rowsByTime = (analysis: Analysis, contrasts: Contrasts, cells: (at: Contrasts[number]['atTimes'][number], group: string) => readonly Cell[]): readonly Row[] =>
  timesShown(analysis.question).flatMap((years) => contrasts.flatMap(({ group, label, atTimes }): Row[] => {
    const at = atTimes.find((a) => a.years === years);
    return at === undefined ? [] : [{ block: String(years), group: position(analysis, group), cells: [text(formatSpan(years)), text(label), ...cells(at, group)] }];
  }));

export const meanTimeTable = (analysis: Analysis, { restrictedMean }: Difference): ReportTable => ({
  name: 'mean-time-free-of-revision',
  title: 'Mean time free of revision, days',
  method: restrictedMean.status === 'ok' ? `Area under the Kaplan–Meier curve over the first ${formatCount(restrictedMean.horizonDay)} days (Royston & Parmar 2013, BMC Med Res Methodol 13:152); ${level(analysis)}. Difference: against the reference.` : '',
  columns: [
    words('Group'), number('Procedures'), number('At risk at the end'), number('Mean'), number('Lower'), number('Upper'),
    number('Difference'), number('Difference, lower'), number('Difference, upper'), number('p'),
  ],
  rows: restrictedMean.status === 'notEstimable' ? [] : restrictedMean.groups.map(({ group, label, procedures, atRisk, days }) => {
    const difference = restrictedMean.differences.find((d) => d.group === group), basis = [procedures, atRisk];
    const against = difference === undefined ? [text('reference'), text(''), text(''), text('')]
      : [...estimateCells(difference.days, formatCount, basis), isEstimate(difference.days) ? plain(difference.p, formatP) : text('')];
    return { group: position(analysis, group), cells: [text(label), count(procedures), count(atRisk), ...estimateCells(days, formatCount, basis), ...against] };
  }),
});

export const conditionalTable = (analysis: Analysis, { conditional }: Difference): ReportTable => ({
  name: 'percent-revised-of-those-unrevised',
  title: 'Percent revised later, of those unrevised so far',
  method: `100 (1 − S(t)/S(k)), ${level(analysis)}; read only as far as the curve is.`,
  columns: [
    words('Unrevised at'), words('By'), words('Group'), number('At risk at the start'), number('At risk at the end'), number('Revised between'), number('Percent'), number('Lower'), number('Upper'),
  ],
  rows: [...conditional].sort((a, b) => a.fromYears - b.fromYears || a.years - b.years).map((row) => ({
    block: `${row.fromYears}–${row.years}`, group: position(analysis, row.group),
    cells: [
      text(formatSpan(row.fromYears)), text(formatSpan(row.years)), text(row.label), count(row.atRiskFrom), count(row.atRisk), { ...count(row.events), basis: [row.events, ...endsOf(analysis, row)] },
      ...estimateCells(row.estimate, formatPercent, [row.atRisk, row.events, ...endsOf(analysis, row)]),
    ],
  })),
});

/** What is revised between two times is told where it is told at both. */
const endsOf = (analysis: Analysis, { group, fromYears, years }: Difference['conditional'][number]): readonly number[] => [...stepAt(analysis, group, fromYears), ...stepAt(analysis, group, years)];

const everyNth = 5; // of a hundred points: enough to read, the drawing has them all

export const hazardTable = (analysis: Analysis, { hazards }: Difference): ReportTable => ({
  name: 'revisions-per-100-component-years-over-time',
  title: 'Revisions per 100 component-years by time since surgery, smoothed',
  method: `Kernel-smoothed hazard with ${level(analysis)}, at each time by itself. At risk: just before the day.`,
  columns: [words('Group'), number('Day'), number('At risk'), number('Per 100 years'), number('Lower'), number('Upper')],
  rows: hazards.flatMap(({ group, label, events, curve }): Row[] => {
    const g = position(analysis, group);
    if (curve.status === 'notEstimable') return [{ group: g, cells: [text(label), text(''), text(''), text(curve.reason), text(''), text('')] }];
    const indexes = Array.from(curve.days.keys()).filter((i) => i % everyNth === 0);
    return indexes.map((i) => ({
      group: g,
      cells: [text(label), plain(curve.days[i]!), count(curve.atRisk[i]!), ...[curve.per100, curve.lower, curve.upper].map((values) => derived(values[i]!, formatRatio, [events, curve.atRisk[i]!]))],
    }));
  }),
});
