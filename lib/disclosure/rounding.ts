import type { Rounding } from './policy';

/** Conventional rounding to a multiple of `base`; halfway to the even multiple, so that sums are not pushed one way. */
export function roundedCount(count: number, base: Rounding): number {
  const times = count / base, below = Math.floor(times), over = times - below;
  return base * (over > 0.5 || (over === 0.5 && below % 2 === 1) ? below + 1 : below);
}

/** How far a count is off on average, were all remainders equally frequent: 1.2 for 5, 2.5 for 10. */
export const meanRoundingError = (base: Rounding): number =>
  Array.from({ length: base }, (_, left) => Math.min(left, base - left)).reduce((sum, off) => sum + off, 0) / base;

/** The next of 1, 2, 5, 10, … times a power of ten at or above a positive number. */
function niceAbove(step: number): number {
  const power = 10 ** Math.floor(Math.log10(step));
  return [1, 2, 5, 10].map((times) => times * power).find((nice) => nice >= step * (1 - 1e-12)) ?? 10 * power;
}

/**
 * A number made from counts, given no more finely than rounding the smallest of them by `base` would move it: a percentage of a known total
 * would tell the count that was rounded.
 */
export function coarsened(value: number, counts: readonly number[], base: Rounding): number {
  const least = Math.min(...counts.filter((count) => count > 0));
  if (base === 1 || value === 0 || !Number.isFinite(value) || !Number.isFinite(least)) return value;
  const step = niceAbove((Math.abs(value) * base) / least), places = Math.max(0, -Math.floor(Math.log10(step)));
  return Number((Math.round(value / step) * step).toFixed(Math.min(places, 15)));
}
