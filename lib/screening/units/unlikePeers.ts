import { hypergeometricTails } from '../../stats/distributions/hypergeometric';

export interface Share { readonly count: number; readonly of: number }

const largestChance = 0.001, smallestDifference = 0.05;

/**
 * Whether two shares are clearly unlike: at least 5 points apart, and further apart than happens once in a thousand by chance to either side (one-sided
 * exact test of Fisher 1935, J R Stat Soc 98:39; a normal score of 3.09). Both bounds are the project's own choice.
 */
export function unlikePeers(own: Share, peers: Share): boolean {
  if (own.of === 0 || peers.of === 0 || Math.abs(own.count / own.of - peers.count / peers.of) < smallestDifference) return false;
  const { lower, higher } = hypergeometricTails(own.count, own.of, own.count + peers.count, own.of + peers.of);
  return Math.min(lower, higher) <= largestChance;
}

/** None revised although that happens less than once in a thousand where so many are expected. */
export const unlikelyNone = (expected: number): boolean => Math.exp(-expected) <= largestChance;
