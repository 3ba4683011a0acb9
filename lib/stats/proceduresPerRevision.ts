import type { NotEstimable } from './cells';

/** How many procedures it takes for one revision fewer, or more, by a time; always 1 or more, Infinity at a difference of 0. */
export type ProceduresPerRevision =
  | { readonly status: 'ok'; readonly effect: 'fewer' | 'more'; readonly procedures: number; readonly lower: number; readonly upper: number }
  /** The limits allow both: from one more in every `moreFrom`, through none in any number, to one fewer in every `fewerFrom`. No single number is true to that. */
  | { readonly status: 'spansZero'; readonly moreFrom: number; readonly fewerFrom: number };

/**
 * From a difference in percent revised by a time, the first group less the second, with its limits: `fewer` is to the credit of the first.
 * Altman 1998, BMJ 317:1309. The difference should be adjusted for case mix, and the number be given with the time; it is not causal.
 */
export function proceduresPerRevision({ value, lower, upper }: { readonly value: number; readonly lower: number; readonly upper: number }): ProceduresPerRevision | NotEstimable {
  if (!(lower <= value && value <= upper)) return { status: 'notEstimable', reason: 'the difference has no limits' };
  if (lower <= 0 && upper >= 0) return { status: 'spansZero', moreFrom: 100 / Math.abs(upper), fewerFrom: 100 / Math.abs(lower) };
  const [least, most] = [Math.abs(lower), Math.abs(upper)].sort((a, b) => a - b);
  return { status: 'ok', effect: value < 0 ? 'fewer' : 'more', procedures: 100 / Math.abs(value), lower: 100 / most!, upper: 100 / least! };
}
