import type { Analysis, Curve } from '../analysis/result';
import { formatCount, formatPercent } from './format';
import { smallestCount } from './smallCounts';
import { text, type Row } from './table';
import type { ReportTable } from './table';

/** Positions at which at least `smallestCount` revisions have come since the one before: a step alone gives a person away. `events`: at each position. */
export function joinedSteps(events: readonly number[]): readonly number[] {
  const joined: number[] = [];
  let since = events[0] ?? 0;
  for (let i = 1; i < events.length; ++i) {
    since += events[i]!;
    if (since < smallestCount) continue;
    joined.push(i);
    since = 0;
  }
  return joined;
}

/** A step of S by d/n: d = n (S before − S after) / S before. */
const revisionsOf = ({ percent, atRisk }: Curve): readonly number[] =>
  Array.from(percent, (after, i) => { const before = i === 0 ? 0 : percent[i - 1]!; return Math.round((atRisk[i]! * (after - before)) / (100 - before)); });

/** The curves to take away: steps joined until each holds enough revisions. */
export const curvesTable = ({ curves, groups }: Analysis): ReportTable => ({
  name: 'revision-curves',
  title: 'Curves of cumulative percent revision',
  method: `100 (1 − Kaplan–Meier) with log-log limits. Steps are joined until each holds at least ${smallestCount} revisions; at risk: just before the day.`,
  columns: [
    { label: 'Group', numeric: false }, { label: 'Day', numeric: true }, { label: 'At risk', numeric: true }, { label: 'Percent', numeric: true },
    { label: 'Lower', numeric: true }, { label: 'Upper', numeric: true },
  ],
  rows: curves.flatMap((curve, group) => joinedSteps(revisionsOf(curve)).map((i): Row => {
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
