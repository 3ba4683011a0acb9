import type { NotEstimable } from '../../stats/cells';
import { binomialTails } from '../../stats/distributions/binomial';
import { bracketedRoot } from '../../stats/frailty/bracketedRoot';
import type { TailP } from '../standardisation/midP';

/** Revisions and what they came from: component-years, or the revisions expected under one hazard for all of the kind. */
export interface Revised { readonly observed: number; readonly exposure: number }

export interface RateRatio { readonly status: 'ok'; readonly ratio: number; readonly lower: number; readonly upper: number }

/**
 * Chance of as many revisions of one component or more, given the revisions of it and all others together: were the rates alike, each revision
 * would fall to it with the probability of its share of the exposure. The others' rate is not taken as known.
 * Przyborowski & Wilenski 1940, Biometrika 31:313.
 */
export function higherRateP(one: Revised, others: Revised): TailP {
  const { higher, at } = binomialTails(one.observed, one.observed + others.observed, one.exposure / (one.exposure + others.exposure));
  return { exact: higher, midP: higher - at / 2 };
}

/** Exact limits that belong to the test. Clopper & Pearson 1934, Biometrika 26:404. */
export function rateRatio(one: Revised, others: Revised, confidence = 0.95): RateRatio | NotEstimable {
  if (!(one.exposure > 0 && others.exposure > 0)) return { status: 'notEstimable', reason: 'no time at risk' };
  if (others.observed === 0) return { status: 'notEstimable', reason: 'no revisions among the others' };
  const tail = (1 - confidence) / 2, total = one.observed + others.observed;
  const limit = (side: 'higher' | 'lower'): number => {
    const excess = (logit: number): number => Math.log(binomialTails(one.observed, total, 1 / (1 + Math.exp(-logit)))[side] / tail);
    const step = side === 'higher' ? -1 : 1, from = Math.log((one.observed + 0.5) / (others.observed + 0.5));
    let size = 2 * Math.sqrt(1 / (one.observed + 0.5) + 1 / (others.observed + 0.5)); // two standard errors: further out the tail may vanish
    while (excess(from + step * size) > 0) size *= 2;
    return bracketedRoot(excess, from, from + step * size, excess(from), excess(from + step * size), 1e-13);
  };
  const scale = others.exposure / one.exposure;
  return {
    status: 'ok',
    ratio: (one.observed / others.observed) * scale,
    lower: one.observed === 0 ? 0 : Math.exp(limit('higher')) * scale,
    upper: Math.exp(limit('lower')) * scale,
  };
}
