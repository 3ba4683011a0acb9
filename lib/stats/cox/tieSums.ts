import type { Ties } from './coxModel';

/**
 * Sums over the d events of one risk set, l = 0 … d − 1, with f = l/d and φ = s0 − f e0 (Efron 1977, J Am Stat Assoc 72:557);
 * with Breslow's rule f = 0 throughout.
 */
export interface TieSums {
  /** Σ 1/φ: the increment of the cumulative baseline hazard. */
  readonly hazard: number;
  /** Σ f/φ: the part of it that a procedure with the event is spared. */
  readonly spared: number;
  /** Σ 1/φ², Σ f/φ², Σ f²/φ². */
  readonly square: number;
  readonly squareSpared: number;
  readonly squareSparedTwice: number;
  /** Σ ln φ. */
  readonly logarithm: number;
}

export function tieSums(d: number, s0: number, e0: number, ties: Ties): TieSums {
  if (d === 1 || ties === 'breslow') {
    return { hazard: d / s0, spared: 0, square: d / (s0 * s0), squareSpared: 0, squareSparedTwice: 0, logarithm: d * Math.log(s0) };
  }
  let hazard = 0, spared = 0, square = 0, squareSpared = 0, squareSparedTwice = 0, logarithm = 0;
  for (let l = 0; l < d; ++l) {
    const f = l / d, phi = s0 - f * e0, q = 1 / phi;
    hazard += q;
    spared += f * q;
    square += q * q;
    squareSpared += f * q * q;
    squareSparedTwice += f * f * q * q;
    logarithm += Math.log(phi);
  }
  return { hazard, spared, square, squareSpared, squareSparedTwice, logarithm };
}
