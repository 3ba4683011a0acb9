import { wilson } from './wilson';

export interface ProportionDifference { readonly value: number; readonly lower: number; readonly upper: number }

/** One group's count of its total. */
export interface Counted { readonly count: number; readonly total: number }

/**
 * `a` minus `b`, two independent proportions, with limits from the Wilson limits of each: method 10 of Newcombe 1998, Stat Med 17:873.
 * −1 to 1; both totals above 0.
 */
export function newcombe(a: Counted, b: Counted, confidence = 0.95): ProportionDifference {
  const p = wilson(a.count, a.total, confidence), q = wilson(b.count, b.total, confidence), value = p.value - q.value;
  return {
    value,
    lower: value - Math.hypot(p.value - p.lower, q.upper - q.value),
    upper: value + Math.hypot(p.upper - p.value, q.value - q.lower),
  };
}
