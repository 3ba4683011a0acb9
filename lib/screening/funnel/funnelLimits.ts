import { normalQuantile } from '../../stats/distributions/normal';
import { interpolatedPoissonQuantile } from './interpolatedPoisson';
import type { Overdispersion } from './overdispersion';

/** How limits allow for units that differ more than by chance: not at all, by a variance between units, or by a factor on all variances. */
export type Widening = 'none' | 'additive' | 'multiplicative';

/**
 * Between which observed/expected a unit like the reference lies with probability `level`, 0–1, given its expected number (above 0).
 * Without overdispersion exact; with it normal on the scale of √(O/E). Spiegelhalter 2005, Stat Med 24:1185.
 */
export function funnelLimits(expected: number, level: number, widening: Widening, spread: Overdispersion | null): { readonly lower: number; readonly upper: number } {
  if (!(expected > 0)) throw new RangeError(`expected must be above 0: ${expected}`);
  const tail = (1 - level) / 2;
  if (widening === 'none' || !spread?.present) {
    return { lower: interpolatedPoissonQuantile(tail, expected) / expected, upper: interpolatedPoissonQuantile(1 - tail, expected) / expected };
  }
  const half = -normalQuantile(tail) * standardDeviation(expected, widening, spread);
  return { lower: Math.max(0, 1 - half) ** 2, upper: (1 + half) ** 2 };
}

/** Of √(O/E). */
export function standardDeviation(expected: number, widening: Widening, spread: Overdispersion | null): number {
  const byChance = 1 / (4 * expected);
  if (widening === 'none' || !spread?.present) return Math.sqrt(byChance);
  return Math.sqrt(widening === 'additive' ? byChance + spread.betweenVariance : byChance * Math.max(1, spread.factor)); // never narrower than chance
}
