import { isSmallCount } from '../disclosure/countTable';
import { policyInForce } from '../disclosure/policy';
import { roundedCount } from '../disclosure/rounding';
import { suppress } from '../disclosure/suppression';
import { formatCount } from './format';

/** The smallest count of people that leaves the page; by the policy in force, as is all here. */
export const smallestCount = (): number => policyInForce().smallest;

export const isSmall = (count: number): boolean => isSmallCount(count, smallestCount());

/** Which counts of a known total must stay inside: small ones and, where these could be computed, the cheapest others with them. */
export function withheldOf(counts: readonly number[]): readonly boolean[] {
  const total = counts.reduce((sum, count) => sum + count, 0), positions = [...counts.keys()];
  const { hidden } = suppress({ counts, sums: isSmall(total) ? [] : [{ plus: positions, minus: [], total }] }, smallestCount());
  return positions.map((at) => hidden.has(at));
}

/** A count inside words that may leave the page. */
export const guardedCount = (count: number): string =>
  (isSmall(count) ? `fewer than ${smallestCount()}` : formatCount(roundedCount(count, policyInForce().rounding)));

/** The total of counts that are told elsewhere, some of them hidden: to the next ten and more where it would give them away. */
export function guardedTotal(counts: readonly number[]): string {
  const total = counts.reduce((sum, count) => sum + count, 0), small = counts.filter(isSmall).length;
  if (isSmall(total) || small === 0 || withheldOf(counts).filter(Boolean).length === small) return guardedCount(total);
  const step = 10 * Math.ceil(smallestCount() / 10);
  return `about ${formatCount(step * Math.max(1, Math.round(total / step)))}`;
}

const counted = /(?<!fewer than |at least )(?<![\d.,–-])\d[\d,]*(?= (?:procedure|revision|death|patient|for \d))|(?<=n = )\d[\d,]*(?!\d)/g;

/** Words made elsewhere, with the small counts of people that they name left out: `among the 3 procedures`, `(n = 3)`, `(3 for 5)`. */
export const withoutSmallCounts = (words: string): string => words.replace(counted, (told) => guardedCount(Number(told.replaceAll(',', ''))));

export { hiddenRows, protectSmallCounts, withheld } from './protectTable';
