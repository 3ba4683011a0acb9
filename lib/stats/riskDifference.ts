/** An estimate and its limits, all on one scale. */
interface Limited { readonly value: number; readonly lower: number; readonly upper: number }

/**
 * Difference of two independent risks, `one − other`, with limits recovered from those of the two (MOVER), on their scale.
 * NaN where a limit is missing.
 * Zou & Donner 2008, Stat Med 27:1693.
 */
export function riskDifference(one: Limited, other: Limited): Limited {
  const value = one.value - other.value;
  return {
    value,
    lower: value - Math.hypot(one.value - one.lower, other.upper - other.value),
    upper: value + Math.hypot(one.upper - one.value, other.value - other.lower),
  };
}
