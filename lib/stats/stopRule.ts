import type { KaplanMeier } from './kaplanMeier';

/** Where a curve may no longer be read. Zero in both fields stops nothing. */
export interface StopRule {
  /** The most by which one more event may lower S, 0–1; usual value 0.02, which asks for n(t) ≥ 50 S(t). */
  readonly largestStep: number;
  /** The least number at risk. */
  readonly minAtRisk: number;
}

export interface Stop {
  /** Index in the event table of the last time that may be read; −1: none. */
  readonly index: number;
  /** That time; 0 if there is none. */
  readonly time: number;
  /** At risk at that time. */
  readonly atRisk: number;
  /** The rule ended the curve before the end of follow-up. */
  readonly stopped: boolean;
  /** The first time from which fewer than a tenth of the largest number at risk remain; null: none within follow-up. */
  readonly thinFrom: number | null;
  /** With delayed entry: the last time before the stop at which the rule was not met, so that the curve rests on few there; null: none. */
  readonly thinUntil: number | null;
}

/**
 * The last time t with n(t) ≥ S(t)/largestStep before the number at risk falls short for good.
 * One more event lowers S by S/n: Pocock, Clayton & Altman 2002, Lancet 359:1686; Gebski et al. 2018, Int J Epidemiol 47:850.
 */
export function stopOf({ table, survival }: KaplanMeier, rule: StopRule): Stop {
  const { time, atRisk } = table, size = time.length;
  // the quotient of two rounded numbers must not fail an equality that holds exactly
  const needed = survival.map((s) => Math.max(rule.minAtRisk, rule.largestStep > 0 ? (s / rule.largestStep) * (1 - 1e-12) : 0));
  const mostFrom = new Float64Array(size); // the largest number at risk from here on
  for (let j = size - 1, most = 0; j >= 0; --j) mostFrom[j] = most = Math.max(most, atRisk[j]!);
  let index = -1, thinUntil = -1, thinFrom: number | null = null;
  for (let j = 0, lastShort = -1; j < size && mostFrom[j]! >= needed[j]!; ++j) {
    if (atRisk[j]! >= needed[j]!) {
      index = j;
      thinUntil = lastShort;
    } else lastShort = j;
  }
  for (let j = size - 1; j >= 0 && mostFrom[j]! < 0.1 * mostFrom[0]!; --j) thinFrom = time[j]!;
  return {
    index,
    time: index < 0 ? 0 : time[index]!,
    atRisk: atRisk[Math.max(index, 0)] ?? 0,
    stopped: index < size - 1,
    thinFrom,
    thinUntil: thinUntil < 0 ? null : time[thinUntil]!,
  };
}
