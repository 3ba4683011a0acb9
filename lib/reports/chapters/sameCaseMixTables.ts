import type { BalanceRow, CaseMixCurves, SameCaseMix, WeightedCurves } from '../../analysis/chapters/sameCaseMixResult';
import type { Analysis } from '../../analysis/result';
import type { NotEstimable } from '../../stats/cells';
import { formatConfidence, formatDecimal, formatPercent, formatPoints, formatRatio, formatSpan } from '../format';
import { text, type Cell, type Column, type ReportTable, type Row } from '../table';
import { count, derived, estimateCells, number, plain, words } from '../tableCells';
import { smallAtSteps } from '../toldDays';
import { timesShown } from '../timesShown';
import { withheldOf } from '../smallCounts';

const three = (what: string): readonly Column[] => [number(what), number(`${what}, lower`), number(`${what}, upper`)];
const ways = ['As they are', 'Standardised', 'Weighted'] as const;
const positionOf = ({ groups }: Analysis, key: string) => groups.findIndex((group) => group.key === key);
const allWays = ({ crude, standardised, weighted }: SameCaseMix): readonly (CaseMixCurves | NotEstimable)[] => [crude, standardised, weighted];
const nothing = (reason: string): readonly Cell[] => [text(reason), text(''), text('')];

/** Percent revised of each group at each time: as it is, standardised, weighted. */
export const caseMixPercentsTable = (analysis: Analysis, result: SameCaseMix): ReportTable => ({
  name: 'percent-revised-same-case-mix',
  title: 'Percent revised with the same case mix',
  method: `Of the same procedures throughout: complete records. Standardised: the mean over the cohort of what a Cox model with a baseline per group predicts (Chang, Gelman & Pagano 1982, J Chronic Dis 35:669). Weighted: Kaplan–Meier with inverse-probability weights. Limits at ${formatConfidence(analysis.question.confidence)}.`,
  columns: [words('Time'), words('Group'), number('At risk'), number('Revised'), ...ways.flatMap((way) => three(`${way}, %`))],
  rows: timesShown(analysis.question).flatMap((years) => result.groups.flatMap(({ group, label, events }): Row[] => {
    const times = result.crude.atTimes.filter((a) => a.group === group).sort((a, b) => a.years - b.years);
    const at = (curves: CaseMixCurves | NotEstimable) => (curves.status === 'ok' ? curves.atTimes.find((a) => a.group === group && a.years === years) : undefined);
    const own = at(result.crude);
    if (own === undefined) return [];
    const step = smallAtSteps(times.map((a) => a.events), events)[times.indexOf(own)] ?? 0, basis = [own.atRisk, own.events, step];
    return [{
      block: String(years), group: positionOf(analysis, group),
      cells: [
        text(formatSpan(years)), text(label), count(own.atRisk), { ...count(own.events), basis: [own.events, step] },
        ...allWays(result).flatMap((curves) => (curves.status === 'ok' ? estimateCells(at(curves)?.estimate ?? { reason: '–' }, formatPercent, basis) : nothing('–'))),
      ],
    }];
  })),
});

/** Groups against the reference: differences in percentage points, or ratios of the percents. */
export const caseMixContrastsTable = (analysis: Analysis, result: SameCaseMix, what: 'difference' | 'ratio'): ReportTable => ({
  name: `${what}-same-case-mix`,
  title: `${what === 'difference' ? 'Difference in percent revised' : 'Ratio of percents revised'} with the same case mix, against the reference`,
  method: `${what === 'difference' ? 'Percentage points, below 0: fewer revised than in the reference' : 'Of the percents revised'}; limits at ${formatConfidence(analysis.question.confidence)}.`,
  columns: [words('Time'), words('Group'), ...ways.flatMap(three)],
  rows: timesShown(analysis.question).flatMap((years) => result.groups.filter(({ group }) => group !== result.reference).map(({ group, label, events }): Row => ({
    block: String(years), group: positionOf(analysis, group),
    cells: [text(formatSpan(years)), text(label), ...allWays(result).flatMap((curves) => {
      const contrast = curves.status === 'ok' ? curves.contrasts.find((c) => c.group === group && c.years === years) : undefined;
      return contrast === undefined ? nothing('–') : estimateCells(contrast[what], what === 'difference' ? formatPoints : formatRatio, [events]);
    })],
  }))),
});

export const balanceTable = (analysis: Analysis, { groups }: SameCaseMix, { balance }: WeightedCurves): ReportTable => ({
  name: 'balance-before-and-after-weighting',
  title: 'Balance before and after weighting',
  method: 'Percent of the level in each group, or mean. The difference is the largest absolute standardised one between two groups (Austin 2009, Stat Med 28:3083); above 0.1 is often read as imbalance.',
  columns: [
    words('Characteristic'), words('Level'),
    ...groups.flatMap(({ group, label }): Column[] => ['before', 'after'].map((when) => ({ label: `${label}, ${when}`, numeric: true, group: positionOf(analysis, group) }))),
    number('Difference before'), number('Difference after'),
  ],
  rows: balance.map((row, i) => {
    const { covariate, label, level, before, after } = row, inside = groups.map((_, g) => insideOf(groups, balance, row, g));
    return {
      block: covariate,
      cells: [
        text(balance[i - 1]?.covariate === covariate ? '' : label), text(level ?? 'mean'),
        ...groups.flatMap((_, g) => [before, after].map(({ values }) => (level === null ? plain(values[g] ?? NaN, formatDecimal) : derived(values[g] ?? NaN, formatPercent, inside[g] ?? [])))),
        ...[before, after].map(({ largestDifference }) => derived(largestDifference, (d) => (d === Infinity ? 'all against none' : formatRatio(d)), inside.flat())),
      ],
    };
  }),
});

/** A percent of a group whose size is known is a count of people, and the levels of a characteristic add up. */
export function insideOf(groups: SameCaseMix['groups'], balance: readonly BalanceRow[], row: BalanceRow, g: number): readonly number[] {
  if (row.level === null) return [];
  const countOf = ({ before }: BalanceRow) => Math.round(((before.values[g] ?? 0) / 100) * (groups[g]?.procedures ?? 0)), levels = balance.filter(({ covariate }) => covariate === row.covariate);
  return [countOf(row), ...(withheldOf(levels.map(countOf))[levels.indexOf(row)] === true ? [1] : [])];
}

export const weightsTable = (analysis: Analysis, { weights }: WeightedCurves): ReportTable => ({
  name: 'weights',
  title: 'What the weights cost',
  method: 'Inverse of the probability of the group received, stabilised (Robins, Hernán & Brumback 2000, Epidemiology 11:550). Effective size: how many procedures of equal weight would be as informative (Kish 1965).',
  columns: [words('Group'), number('Procedures'), number('Effective size'), number('Largest weight, times the mean'), number('Above ten times the mean, %')],
  rows: weights.map(({ group, label, procedures, effectiveSize, largest, extremePercent }) => ({
    group: positionOf(analysis, group),
    cells: [text(label), count(procedures), plain(effectiveSize), plain(largest, formatRatio), derived(extremePercent, formatPercent, [Math.round((extremePercent / 100) * procedures)])],
  })),
});
