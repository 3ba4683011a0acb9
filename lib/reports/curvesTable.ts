import type { Analysis, Curve } from '../analysis/result';
import { formatCount, formatPercent } from './format';
import { smallestCount } from './smallCounts';
import { text, type Row } from './table';
import type { ReportTable } from './table';

/** Positions in a curve at which at least `smallestCount` revisions have come since the one before: a step alone gives a person away. */
function joinedSteps({ percent, atRisk }: Curve): readonly number[] {
  const joined: number[] = [];
  let since = percent.length > 0 ? Math.round((atRisk[0]! * percent[0]!) / 100) : 0;
  for (let i = 1; i < percent.length; ++i) {
    // a step of S by d/n: d = n (S before − S after) / S before
    since += Math.round((atRisk[i]! * (percent[i]! - percent[i - 1]!)) / (100 - percent[i - 1]!));
    if (since < smallestCount) continue;
    joined.push(i);
    since = 0;
  }
  return joined;
}

/** The curves to take away: steps joined until each holds enough revisions. */
export const curvesTable = ({ curves, groups }: Analysis): ReportTable => ({
  name: 'revision-curves',
  title: 'Curves of cumulative percent revision',
  method: `100 (1 − Kaplan–Meier) with log-log limits. Steps are joined until each holds at least ${smallestCount} revisions; at risk: just before the day.`,
  columns: [
    { label: 'Group', numeric: false }, { label: 'Day', numeric: true }, { label: 'At risk', numeric: true }, { label: 'Percent', numeric: true },
    { label: 'Lower', numeric: true }, { label: 'Upper', numeric: true },
  ],
  rows: curves.flatMap((curve, group) => joinedSteps(curve).map((i): Row => {
    const number = (value: number, format: (value: number) => string) => ({ text: format(value), value });
    return {
      group,
      cells: [
        text(groups[group]?.label ?? curve.group), number(curve.days[i]!, formatCount), { ...number(curve.atRisk[i]!, formatCount), basis: [curve.atRisk[i]!] },
        number(curve.percent[i]!, formatPercent), number(curve.lower[i]!, formatPercent), number(curve.upper[i]!, formatPercent),
      ],
    };
  })),
});
