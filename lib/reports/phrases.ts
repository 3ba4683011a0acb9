import type { CoxResult, Estimate } from '../analysis/result';
import { formatConfidence, formatCount, formatLimits, formatList, formatPercent, formatRatio } from './format';
import { policyInForce } from '../disclosure/policy';
import { inSentence } from './questionWords';
import { isSmall, withoutSmallCounts } from './smallCounts';

/** Finished words. They don't leave the page if they could be computed back to a small count of people. */
export interface Sentence {
  readonly text: string;
  readonly staysInside: boolean;
}

/** A sentence and the counts of people that it says or could be computed back to. */
export interface Words { readonly text: string; readonly basis: readonly number[] }

export const finished = (words: readonly Words[]): readonly Sentence[] => words.map(({ text, basis }) => ({ text, staysInside: basis.some(isSmall) || (policyInForce().rounding > 1 && basis.length > 0) })); // words are not rounded

export const quoted = ({ label }: { readonly label: string }): string => `“${label}”`;
export const capital = (words: string): string => `${words[0]?.toUpperCase() ?? ''}${words.slice(1)}`;

/** `5.2% (95% CI 4.6–5.9)`. */
export const percentWords = (estimate: Estimate, confidence: number): string =>
  `${formatPercent(estimate.value)}% (${formatConfidence(confidence)} CI ${formatLimits(estimate, formatPercent)})`;

/** `1.62 (95% CI 1.40–1.88)`. */
export const ratioWords = (estimate: Estimate, confidence: number): string =>
  `${formatRatio(estimate.value)} (${formatConfidence(confidence)} CI ${formatLimits(estimate, formatRatio)})`;

/** “10% fewer to 27% more”: how far the limits of a ratio reach. */
export const reach = ({ lower, upper }: Estimate): string => {
  const side = (ratio: number) => `${formatCount(Math.abs(100 * (ratio - 1)))}% ${ratio < 1 ? 'fewer' : 'more'}`;
  return `from ${side(lower)} to ${side(upper)} revisions`;
};

export const adjustedWords = ({ adjustedFor }: Pick<CoxResult, 'adjustedFor'>): string =>
  (adjustedFor.length === 0 ? 'without adjustment' : `adjusted for ${formatList(adjustedFor.map(inSentence))}`);

/** A note as a sentence of its own. */
export const asSentence = (note: string): string => `${capital(withoutSmallCounts(note)).replace(/\.$/, '')}.`;

/** A reason given as a sentence of its own, inside another sentence. */
export const reasonWords = (reason: string): string => withoutSmallCounts(reason).replace(/\.$/, '');
