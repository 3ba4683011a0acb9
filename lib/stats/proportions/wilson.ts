import { normalQuantile } from '../distributions/normal';

/** A proportion, 0–1, with its limits. */
export interface Proportion { readonly value: number; readonly lower: number; readonly upper: number }

/**
 * The score interval of a proportion (Wilson 1927, J Am Stat Assoc 22:209), without continuity correction: `count` of `total`, total above 0.
 * Limits are never below 0 or above 1, and those of none and of all are 0 and 1.
 */
export function wilson(count: number, total: number, confidence = 0.95): Proportion {
  if (!(total > 0 && count >= 0 && count <= total)) throw new RangeError(`a count must be from 0 to its total, and the total above 0: ${count} of ${total}`);
  const z = -normalQuantile((1 - confidence) / 2), spread = z * Math.sqrt(z * z + (4 * count * (total - count)) / total), size = 2 * (total + z * z);
  return {
    value: count / total,
    lower: count === 0 ? 0 : (2 * count + z * z - spread) / size,
    upper: count === total ? 1 : (2 * count + z * z + spread) / size,
  };
}
