import { binomialTails } from '../../stats/distributions/binomial';

/** Something in the extract that is seldom so in reality, with the rule that decides. A flag is a question: each has a good reason somewhere. */
export interface Pattern {
  readonly id: string;
  readonly area: 'dates' | 'digits' | 'revisions' | 'implants' | 'patients' | 'places';
  readonly label: string;
  readonly rule: string; // when it is asked about
  readonly unit: string; // what is counted: `procedures`, `patients` …
  readonly count: number;
  readonly of: number; // of so many that were looked at
  readonly expected: number; // NaN: the rule needs none
  readonly p: number; // chance of so many or more; NaN: the rule needs none
  readonly asked: boolean;
  readonly todo: { readonly text: string; readonly href: string };
  readonly parts: readonly PatternPart[]; // where it is, largest first
  readonly notLookedAt: string | null; // why it could not be looked at
}

/** Of a hospital or a surgeon the identifier; of anything else what it is called. */
export interface PatternPart {
  readonly kind: 'hospital' | 'surgeon' | 'other';
  readonly label: string | null; // null: not recorded
  readonly count: number;
  readonly of: number;
  readonly expected: number; // NaN: none
  readonly p: number; // NaN: not tested
}

/** What a pattern is before it is counted. */
export type Sought = Pick<Pattern, 'id' | 'area' | 'label' | 'rule' | 'unit' | 'todo'>;

/** Asked about as soon as there is one. */
export const anyOf = (sought: Sought, count: number, of: number, parts: readonly PatternPart[] = []): Pattern =>
  ({ ...sought, count, of, expected: NaN, p: NaN, asked: count > 0, parts, notLookedAt: of === 0 ? 'nothing there to look at' : null });

export const largestChance = 0.001;

/** Asked about where there are clearly more than a share of all: p ≤ 0.001 by the exact binomial test, and at least so many times as many. */
export function moreThan(sought: Sought, count: number, of: number, share: number, times: number, parts: readonly PatternPart[] = []): Pattern {
  if (of === 0) return { ...anyOf(sought, 0, 0, parts), expected: 0 };
  const p = binomialTails(count, of, share).higher, expected = of * share;
  return { ...sought, count, of, expected, p, asked: p <= largestChance && count >= times * expected, parts, notLookedAt: null };
}

export const moreThanWords = (expected: string, times: number): string =>
  `Expected ${expected}. Asked about where at least ${times} times as many are found and chance would do that at most once in a thousand (exact binomial test).`;
export const anyWords = 'None is expected; asked about as soon as there is one.';
