import type { NotEstimable } from '../../stats/cells';

/** A unit with its expected number above 0. */
export interface Counted { readonly observed: number; readonly expected: number }

/** How much more the units differ than chance alone lets them, on the scale of √(O/E), where chance has a variance of 1/(4E). */
export interface Overdispersion {
  readonly status: 'ok';
  readonly units: number;
  /** Mean squared z-score after the extreme ones are drawn in; about 1 where chance explains all. */
  readonly factor: number;
  /** The same before that. */
  readonly rawFactor: number;
  /** Variance between units beyond chance; 0 where there is none. */
  readonly betweenVariance: number;
  /** False: chance explains the spread, and limits need no widening. */
  readonly present: boolean;
}

/** Fewest units from which their spread is estimated: the project's own choice. */
export const fewestUnits = 10;

export const zScore = ({ observed, expected }: Counted): number => 2 * (Math.sqrt(observed) - Math.sqrt(expected));

/**
 * z-scores beyond the given share at either end are drawn in to it, so that the outliers looked for do not widen the limits that should find them.
 * The factor and, by the method of moments, the variance between units: Spiegelhalter 2005, Stat Med 24:1185, appendix A.2.
 */
export function overdispersion(units: readonly Counted[], winsorised = 0.1): Overdispersion | NotEstimable {
  const size = units.length;
  if (size < fewestUnits) return { status: 'notEstimable', reason: `fewer than ${fewestUnits} units (${size})` };
  const z = units.map(zScore), sorted = z.toSorted((a, b) => a - b);
  const low = quantile(sorted, winsorised), high = quantile(sorted, 1 - winsorised);
  const meanSquare = (values: readonly number[]): number => values.reduce((sum, v) => sum + v * v, 0) / size;
  const factor = meanSquare(z.map((v) => Math.min(high, Math.max(low, v))));
  const present = factor > (size - 1) / size;
  const weight = units.reduce((sum, { expected }) => sum + 4 * expected, 0), squares = units.reduce((sum, { expected }) => sum + (4 * expected) ** 2, 0);
  return {
    status: 'ok', units: size, factor, rawFactor: meanSquare(z), present,
    betweenVariance: present ? (size * factor - (size - 1)) / (weight - squares / weight) : 0,
  };
}

/** Linear between the ordered values: definition 7 of Hyndman & Fan 1996, Am Stat 50:361. */
function quantile(sorted: readonly number[], probability: number): number {
  const at = (sorted.length - 1) * probability, below = Math.floor(at);
  const value = sorted[below]!;
  return value + (at - below) * ((sorted[below + 1] ?? value) - value);
}
