import { daysOfYears } from '../../cohort/days';
import type { MonitoringQuestion } from '../../contract/monitoringQuestion';
import type { Step } from '../../analysis/step';
import type { NotEstimable } from '../../stats/cells';
import { pieceByPiece, type InPieces } from '../../stats/inPieces';
import { hazardThresholdInPieces, signalChanceInPieces, type CusumThreshold } from './cusumThreshold';

/** The limit of one chart, and how often a chart like it signals by chance alone over all its days. */
export interface FoundLimit {
  readonly limit: CusumThreshold;
  readonly accrual: { readonly expected: number; readonly fromStep: number; readonly repeated: boolean };
  readonly byChance: number;
}

/**
 * The limit is for `overYears` in which revisions are expected as they were in those years of the chart in which most were: in others the chance of
 * a false signal is lower. Of a shorter chart all days are repeated. `expected` has an entry per day.
 */
export function* limitInPieces(expected: Float64Array, question: MonitoringQuestion): InPieces<FoundLimit | NotEstimable, number> {
  const { ratio, falseAlarm, seed, histories, overYears } = question, days = daysOfYears(overYears), size = expected.length, from = busiest(expected, days);
  const ahead = Float64Array.from({ length: days }, (_, i) => expected[(from + i) % size]!);
  const limit = yield* hazardThresholdInPieces(ahead, { ratio, falseAlarm, seed, histories });
  if (limit.status !== 'ok') return { status: 'notEstimable', reason: 'no revisions are expected' };
  const byChance = yield* signalChanceInPieces(expected, limit.threshold, { ratio, trueRatio: 1, seed: seed + 1, histories: Math.ceil(histories / 5) });
  return { limit, accrual: { expected: ahead.reduce((sum, e) => sum + e, 0), fromStep: from, repeated: size < days }, byChance };
}

/** The first step of the `days` in which most is expected; 0 where there are no more. */
function busiest(expected: Float64Array, days: number): number {
  let from = 0;
  for (let t = days, sum = 0, most = 0; t < expected.length; ++t) {
    sum += expected[t]! - expected[t - days]!;
    if (sum > most) [most, from] = [sum, t - days + 1];
  }
  return from;
}

/** Lets a newer question stop the work between its pieces. `says`: what is being done, with how far it is before and after. */
export const between = <R>(work: InPieces<R, number>, step: Step, says: string, from: number, to: number): Promise<R> =>
  pieceByPiece(work, (share) => step(says, from + (to - from) * share));

/** Leaves out steps that come within a few hundredths of a second after another: there may be hundreds of charts. */
export function unhurried(step: Step): Step {
  let last = -Infinity;
  return async (says, fraction) => {
    if (performance.now() - last < 40) return;
    await step(says, fraction);
    last = performance.now();
  };
}
