import type { AnsweredCurves, Curve } from '../analysis/result';
import { formatPercent } from './format';
import { smallestCount } from './smallCounts';
import { text, type ReportTable, type Row } from './table';
import { count, derived, number, plain, words } from './tableCells';
import { toldOf } from './toldDays';
import { atRiskAt, positionAt, traceOf } from './trace';

/** The curves to take away: at month ends between which none or enough were revised. */
export const curvesTable = ({ curves, groups }: AnsweredCurves): ReportTable => ({
  name: 'revision-curves',
  title: 'Curves of cumulative percent revision',
  method: `100 (1 − Kaplan–Meier) with log-log limits, read at month ends between which no revision, or at least ${smallestCount()}, happened; at risk: just before the day.`,
  columns: [words('Group'), number('Day'), number('At risk'), number('Percent'), number('Lower'), number('Upper')],
  rows: curves.flatMap((curve, group) => rowsOf(curve, groups[group]?.label ?? curve.group, group, groups[group]?.events ?? 0)),
});

function rowsOf(curve: Curve, label: string, group: number, revised: number): readonly Row[] {
  const trace = traceOf(curve);
  return toldOf(curve, revised).map(({ day, counts }): Row => {
    const i = positionAt(trace, day), basis = [...counts, curve.atRisk[i]!];
    return {
      group,
      cells: [
        text(label), plain(day), count(atRiskAt(trace, day) ?? curve.atRisk[i]!), ...[curve.percent, curve.lower, curve.upper].map((values) => derived(values[i]!, formatPercent, basis)),
      ],
    };
  });
}
