import { gammaQuantile } from '../distributions/gammaQuantile';

export interface OneSidedErrorRates {
  /** Chance of a false alarm, one-sided, 0–1; default 0.025. */
  readonly alpha?: number;
  /** Chance of seeing what is there, 0–1; default 0.8. */
  readonly power?: number;
}

/**
 * Expected events from which on an exact Poisson test against a known reference sees observed / expected of `ratio` (above 1).
 * As counts are whole, the power goes up and down with the expected number: from here on it never falls below what is asked.
 * The chance of at least c events is the lower tail of a gamma distribution of shape c: Garwood 1936, Biometrika 28:437.
 */
export function expectedNeeded(ratio: number, { alpha = 0.025, power = 0.8 }: OneSidedErrorRates = {}): number {
  if (!(ratio > 1)) throw new RangeError(`ratio must be above 1: ${ratio}`);
  // Where c events are needed, from the largest expected number at which c − 1 are a signal, the power begins too low for every c up to the last
  const beginsTooLow = (c: number): boolean => gammaQuantile(power, c) / ratio > (c > 1 ? gammaQuantile(alpha, c - 1) : 0);
  return gammaQuantile(power, firstNot(beginsTooLow) - 1) / ratio;
}

/** The observed / expected that can be seen with so many expected events. Infinity without any. */
export function detectableRatio(expected: number, { alpha = 0.025, power = 0.8 }: OneSidedErrorRates = {}): number {
  if (!(expected >= 0)) throw new RangeError(`expected must be at least 0: ${expected}`);
  const signal = firstNot((c) => gammaQuantile(alpha, c) < expected); // the least number of events that is one
  return gammaQuantile(power, signal) / expected;
}

/** The first whole number from 1 at which a condition that ends for good has ended. */
function firstNot(holds: (c: number) => boolean): number {
  if (!holds(1)) return 1;
  let low = 1, high = 2;
  for (; holds(high); high *= 2) low = high;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (holds(middle)) low = middle;
    else high = middle;
  }
  return high;
}
