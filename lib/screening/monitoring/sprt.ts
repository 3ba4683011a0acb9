import { hazardWeights } from './weights';

export interface SprtOptions {
  /** Against which the usual risk is held, above 1. */
  readonly ratio: number;
  /** Chance of deciding for the higher ratio although the risk is the usual one; default 0.01. */
  readonly alpha?: number;
  /** Chance of deciding for the usual risk although it is `ratio` times that; default 0.01. */
  readonly beta?: number;
}

/** Sequential probability ratio test: evidence summed until it decides one way or the other. */
export interface Sprt {
  /** Log likelihood ratio after each step; it goes on after the decision. */
  readonly value: Float64Array;
  readonly upper: number;
  readonly lower: number;
  /** The first step outside the bounds; null: not decided yet. */
  readonly decision: { readonly step: number; readonly side: 'higher' | 'asExpected' } | null;
}

/**
 * Bounds by Wald's approximation (1945, Ann Math Stat 16:117): ln((1 − β)/α) and ln(β/(1 − α)). For revisions observed and expected in each step,
 * evidence is O ln ratio − E (ratio − 1): Spiegelhalter et al. 2003, Int J Qual Health Care 15:7.
 */
export function sprt(observed: Float64Array, expected: Float64Array, { ratio, alpha = 0.01, beta = 0.01 }: SprtOptions): Sprt {
  if (!(alpha > 0 && beta > 0 && alpha + beta < 1)) throw new RangeError(`alpha and beta must be above 0 and their sum below 1: ${alpha} and ${beta}`);
  const upper = Math.log((1 - beta) / alpha), lower = Math.log(beta / (1 - alpha)), value = hazardWeights(observed, expected, ratio);
  for (let t = 1; t < value.length; ++t) value[t]! += value[t - 1]!;
  const step = value.findIndex((v) => v >= upper || v <= lower);
  return { value, upper, lower, decision: step < 0 ? null : { step, side: value[step]! >= upper ? 'higher' : 'asExpected' } };
}
