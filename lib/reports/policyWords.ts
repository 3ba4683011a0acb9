import type { Policy } from '../disclosure/policy';
import { meanRoundingError } from '../disclosure/rounding';
import { formatDecimal } from './format';

/** What was withheld and rounded, for the head of a file and the foot of a page. */
export function policyWords({ smallest, rounding }: Policy): string {
  const small = smallest === 1 ? 'No count is withheld.' : `Counts from 1 to ${smallest - 1}, and what could be computed back to them, are withheld.`;
  const rounded = rounding === 1 ? '' : ` Counts of people are rounded to multiples of ${rounding}, which moves them by ${formatDecimal(meanRoundingError(rounding))} on average; numbers made from them are given no more finely than that.`;
  return small + rounded;
}
