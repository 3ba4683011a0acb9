import { dateOf, dayOf } from '../../contract/calendarDay';
import type { MonitoringQuestion } from '../../contract/monitoringQuestion';
import type { NotEstimable } from '../../stats/cells';
import type { CalendarIncrements } from './calendarIncrements';
import { cusum } from './cusum';
import type { InPieces } from '../../stats/inPieces';
import { limitInPieces, type FoundLimit } from './limit';
import { maxSprt } from './maxSprt';
import type { Look, MonitoringChart, MonitoredYear, Signal } from './monitoringResult';
import { sprt } from './sprt';
import { hazardWeights } from './weights';

type Increments = Pick<CalendarIncrements, 'firstDay' | 'observed' | 'expected'>;

/** From how many revisions on the test of any ratio can signal: a single one never does. */
export const maxSprtFewest = 2;

/** `simulate` does the work of finding the limit, piece by piece. */
export async function chartOf(
  { firstDay, observed, expected }: Increments, looks: readonly number[], question: MonitoringQuestion,
  simulate: (work: InPieces<FoundLimit | NotEstimable, number>) => Promise<FoundLimit | NotEstimable>,
): Promise<MonitoringChart | NotEstimable> {
  const found = await simulate(limitInPieces(expected, question));
  if ('status' in found) return found;
  const { ratio, restart, reviews, falseAlarm } = question, { limit, accrual, byChance } = found;
  const { value, signals, resets } = cusum(
    hazardWeights(observed, expected, ratio), limit.threshold, restart === 'afterSignal' ? 'afterSignal' : reviews.map((date) => dayOf(date) - firstDay).filter((t) => t > 0),
  );
  const [o, e] = [upTo(observed), upTo(expected)], planned = e.at(-1)!;
  const simple = sprt(observed, expected, { ratio }), widest = maxSprt(observed, expected, { planned, fewest: maxSprtFewest, alpha: falseAlarm });
  const dayAt = (t: number | null) => (t === null ? null : firstDay + t);
  return {
    status: 'ok', value, limit, byChance,
    accrual: { expected: accrual.expected, fromDay: firstDay + accrual.fromStep, repeated: accrual.repeated },
    signals: signals.map((t): Signal => {
      const look = looks.findIndex((day) => day >= firstDay + t);
      return { day: firstDay + t, value: value[t]!, observed: o[t]!, expected: e[t]!, look: look < 0 ? null : look + 1 };
    }),
    resets: resets.map((t) => firstDay + t),
    sprt: {
      value: simple.value.at(-1)!, upper: simple.upper, lower: simple.lower,
      decision: simple.decision && { day: firstDay + simple.decision.step, side: simple.decision.side },
    },
    maxSprt: widest.status === 'ok' ? { status: 'ok', value: widest.value.at(-1)!, criticalValue: widest.criticalValue, signal: dayAt(widest.signal) } : widest,
  };
}

function upTo(values: Float64Array): Float64Array {
  const sums = values.slice();
  for (let t = 1; t < sums.length; ++t) sums[t]! += sums[t - 1]!;
  return sums;
}

export function looksAt(days: readonly number[], { firstDay, observed, expected }: Increments, chart: MonitoringChart | NotEstimable): readonly Look[] {
  const [o, e] = [upTo(observed), upTo(expected)];
  return days.map((day) => ({ day, observed: o[day - firstDay]!, expected: e[day - firstDay]!, value: chart.status === 'ok' ? chart.value[day - firstDay]! : NaN }));
}

export function yearsOf({ firstDay, observed, expected }: Increments): readonly MonitoredYear[] {
  const years = new Map<number, { observed: number; expected: number }>();
  observed.forEach((o, t) => {
    const year = Number(dateOf(firstDay + t).slice(0, 4)), sum = years.get(year) ?? { observed: 0, expected: 0 };
    years.set(year, { observed: sum.observed + o, expected: sum.expected + expected[t]! });
  });
  return [...years].map(([year, counts]) => ({ year, ...counts }));
}
