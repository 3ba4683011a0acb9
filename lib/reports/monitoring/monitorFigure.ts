import { dateOf, dayOf } from '../../contract/calendarDay';
import { policyInForce } from '../../disclosure/policy';
import { coarsened, roundedCount } from '../../disclosure/rounding';
import type { Monitoring, MonitoringChart } from '../../screening/monitoring/monitoringResult';
import { formatDate, formatDecimal, formatRatio } from '../format';
import { ticksFromZero } from '../ticks';
import type { AxisTick } from '../timeAxis';
import { smallAtLooks } from './disclosed';
import { thinDays, type DayPoint } from './thinDays';

/** Lines against calendar time on one scale. */
export interface MonitorPanel {
  readonly valueTicks: readonly number[];
  readonly lines: readonly { readonly label: string; readonly group: number; readonly points: readonly DayPoint[]; readonly paper: readonly DayPoint[] }[];
}

/** A mark on the chart with its label; on paper it stands at the look that saw it. */
export interface MonitorMark { readonly label: string; readonly day: number; readonly value: number; readonly paper: { readonly day: number; readonly value: number } | null }

/** Everything that the drawing of a chart over calendar time needs, worked out; days from 1970-01-01. */
export interface MonitorFigure {
  readonly name: string;
  readonly title: string;
  readonly caption: string;
  readonly firstDay: number;
  readonly lastDay: number;
  readonly timeTicks: readonly AxisTick[];
  readonly fewTimeTicks: readonly AxisTick[]; // for narrow drawings
  readonly limit: { readonly value: number; readonly label: string };
  readonly chart: MonitorPanel;
  readonly signals: readonly MonitorMark[];
  readonly resets: readonly { readonly label: string; readonly day: number }[];
  readonly counts: MonitorPanel;
  readonly spoken: string; // for who does not see it
}

/** The first of January of years at round steps. */
function yearTicks(firstDay: number, lastDay: number, most: number): readonly AxisTick[] {
  const from = Number(dateOf(firstDay).slice(0, 4)) + (dateOf(firstDay).endsWith('-01-01') ? 0 : 1), to = Number(dateOf(lastDay).slice(0, 4));
  const step = [1, 2, 5, 10, 20].find((years) => (to - from) / years < most) ?? 50;
  return Array.from({ length: Math.max(0, to - from) + 1 }, (_, i) => from + i).filter((year) => year % step === 0 || step === 1)
    .map((year) => ({ at: dayOf(`${year}-01-01`), label: String(year) }));
}

function upTo(values: Float64Array): Float64Array {
  const sums = values.slice();
  for (let t = 1; t < sums.length; ++t) sums[t]! += sums[t - 1]!;
  return sums;
}

export function monitorFigure({ period: { firstDay, lastDay }, looks, observed, expected }: Monitoring, chart: MonitoringChart): MonitorFigure {
  const { rounding } = policyInForce(), small = smallAtLooks(looks), told = looks.filter((_, i) => small[i] === 0), last = looks.at(-1)!;
  const atLooks = (of: 'observed' | 'expected' | 'value') => [{ day: firstDay, value: 0 }, ...told.map((look) => ({ day: look.day, value: of === 'expected' ? look.expected : of === 'observed' ? roundedCount(look.observed, rounding) : coarsened(look.value, [look.observed], rounding) }))];
  const limit = chart.limit.threshold, highest = chart.value.reduce((most, v) => Math.max(most, v), limit);
  return {
    name: 'chart-over-time', title: 'Evidence over time, and revisions observed and expected',
    caption: 'Above: the cumulative sum of evidence, with its limit (dashed). A triangle marks where it went above the limit, a dotted line where it starts again. Below: revisions to date, observed and expected. '
      + 'On paper and in files: at looks between which no revision, or enough, happened.',
    firstDay, lastDay,
    timeTicks: yearTicks(firstDay, lastDay, 11), fewTimeTicks: yearTicks(firstDay, lastDay, 5),
    limit: { value: limit, label: `Limit ${formatRatio(limit)}` },
    chart: {
      valueTicks: ticksFromZero(highest * 1.08, 5),
      lines: [{ label: 'Evidence for a higher rate', group: 0, points: thinDays(chart.value, firstDay), paper: atLooks('value') }],
    },
    signals: chart.signals.map(({ day, value, look }, i) => ({
      label: `S${i + 1}`, day, value, paper: look === null ? null : { day: looks[look - 1]!.day, value: limit },
    })),
    resets: chart.resets.map((day, i) => ({ label: `R${i + 1}`, day })),
    counts: {
      valueTicks: ticksFromZero(Math.max(last.observed, last.expected, 1), 3),
      lines: [
        { label: 'Observed', group: 0, points: thinDays(upTo(observed), firstDay), paper: atLooks('observed') },
        { label: 'Expected', group: 1, points: thinDays(upTo(expected), firstDay, 300), paper: atLooks('expected') },
      ],
    },
    spoken: `Chart from ${formatDate(dateOf(firstDay))} to ${formatDate(dateOf(lastDay))}, limit ${formatRatio(limit)}, value on the last day ${formatRatio(last.value)}, ${chart.signals.length} ${chart.signals.length === 1 ? 'signal' : 'signals'}, ${formatDecimal(last.expected)} revisions expected.`,
  };
}
