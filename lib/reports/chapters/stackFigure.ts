import type { CompetingGroup, CompetingRisks } from '../../analysis/chapters/competingRisksResult';
import type { Analysis } from '../../analysis/result';
import { daysOfYears } from '../../cohort/days';
import type { View } from '../../contract/view';
import { policyInForce } from '../../disclosure/policy';
import { isSmall } from '../smallCounts';
import { ticksFromZero } from '../ticks';
import { monthEnds, timeTicks, type AxisTick } from '../timeAxis';
import { highestShown, nothingDrawn, timeLabel } from '../timeFigure';
import { incidencesOf, toldDays } from '../toldDays';
import { estimateAt, traceOf } from '../trace';

/** Parts of a whole against time since surgery, one upon the other, a panel per group; read at month ends. */
export interface StackFigure {
  readonly name: string;
  readonly title: string;
  readonly caption: string;
  readonly lastDay: number;
  readonly timeLabel: string;
  readonly timeTicks: readonly AxisTick[];
  readonly fewTimeTicks: readonly AxisTick[];
  readonly valueTicks: readonly number[];
  readonly layers: readonly string[]; // labels, the lowest first
  readonly panels: readonly {
    readonly title: string;
    readonly layers: readonly StackLayer[];
    /** The same for print and files, where all of them may be told. */
    readonly paper?: readonly StackLayer[];
    /** A part of it counts too few people to leave the page. */
    readonly staysInside: boolean;
    /** Why there is nothing to draw. */
    readonly nothing?: string;
  }[];
}

interface StackLayer { readonly points: readonly { readonly day: number; readonly band: readonly [number, number] }[] }

const fewestTold = 4; // days of which a drawing can be made

export function stackFigure(analysis: Analysis, { groups, reasons }: CompetingRisks, view: View): StackFigure {
  const horizon = analysis.question.horizonYears, years = Math.min(view.spanYears ?? horizon, horizon), lastDay = daysOfYears(years);
  const ticks = timeTicks(years, view);
  return {
    name: 'reasons-stacked',
    title: 'Reasons for revision, one upon the other',
    caption: 'As patients live: cumulative incidence by reason (Aalen–Johansen), read at month ends. The upper edge is that of revision for any of them.',
    lastDay, timeLabel: timeLabel(view), timeTicks: ticks, fewTimeTicks: ticks.filter((_, i) => i % 2 === 0),
    valueTicks: ticksFromZero(Math.max(0.5, highestShown(groups.map(({ curves }) => traceOf(curves.revision)), lastDay, false)), 5),
    layers: reasons.map(({ label }) => label),
    panels: groups.map((group) => {
      const told = toldDays(group.curves.revision, group.reasons.map(({ curve, events }) => ({ events: incidencesOf(curve, group), total: events }))).map(({ day }) => day).filter((day) => day <= lastDay);
      const layers = layersOf(group, monthEnds(lastDay));
      return {
        title: group.label, layers, paper: layersOf(group, told), ...(layers.every(({ points }) => points.length === 0) && { nothing: nothingDrawn('too few at risk') }),
        staysInside: told.length < fewestTold || policyInForce().rounding > 1 || group.reasons.some(({ events }) => isSmall(events)),
      };
    }),
  };
}

function layersOf({ reasons }: CompetingGroup, ends: readonly number[]): readonly StackLayer[] {
  const traces = reasons.map(({ curve }) => traceOf(curve));
  const days = ends.filter((day) => traces.every((trace) => estimateAt(trace, day) !== null));
  let below = days.map(() => 0);
  return traces.map((trace) => {
    const above = days.map((day, i) => below[i]! + (estimateAt(trace, day)?.value ?? 0));
    const points = days.map((day, i) => ({ day, band: [below[i]!, above[i]!] as const }));
    below = above;
    return { points };
  });
}
