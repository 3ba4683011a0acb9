import type { Ties } from './coxModel';

/**
 * Per risk set, sums over its d events, l = 0 … d − 1, with f = l/d and φ = s0 − f e0 (Efron 1977, J Am Stat Assoc 72:557);
 * with Breslow's rule f = 0 throughout.
 */
export interface TieSums {
  /** Σ 1/φ: the increment of the cumulative baseline hazard. */
  readonly hazard: Float64Array;
  /** Σ f/φ: the part of it that a procedure with the event is spared. */
  readonly spared: Float64Array;
  /** Σ 1/φ², Σ f/φ², Σ f²/φ². */
  readonly square: Float64Array;
  readonly squareSpared: Float64Array;
  readonly squareSparedTwice: Float64Array;
  /** Σ ln φ. */
  readonly logarithm: Float64Array;
}

export function tieSums(events: Float64Array, s0: Float64Array, e0: Float64Array, ties: Ties): TieSums {
  const size = events.length, hazard = new Float64Array(size), spared = new Float64Array(size), logarithm = new Float64Array(size);
  const square = new Float64Array(size), squareSpared = new Float64Array(size), squareSparedTwice = new Float64Array(size);
  for (let k = 0; k < size; ++k) {
    const d = events[k]!, all = s0[k]!;
    logarithm[k] = d * Math.log(all);
    if (d === 1 || ties === 'breslow') {
      hazard[k] = d / all;
      square[k] = d / (all * all);
      continue;
    }
    const share = e0[k]! / all;
    let sum = 0, ofF = 0, squares = 0, squaresOfF = 0, squaresOfF2 = 0, product = 1; // of φ/s0
    for (let l = 0; l < d; ++l) {
      const f = l / d, part = 1 - f * share, q = 1 / part, fq = f * q;
      sum += q;
      ofF += fq;
      squares += q * q;
      squaresOfF += fq * q;
      squaresOfF2 += fq * fq;
      product *= part;
      if (product > 1e-200) continue;
      logarithm[k]! += Math.log(product); // before it gets too small to be held
      product = 1;
    }
    const unit = 1 / all, unitSquare = unit * unit;
    hazard[k] = sum * unit;
    spared[k] = ofF * unit;
    square[k] = squares * unitSquare;
    squareSpared[k] = squaresOfF * unitSquare;
    squareSparedTwice[k] = squaresOfF2 * unitSquare;
    logarithm[k]! += Math.log(product);
  }
  return { hazard, spared, square, squareSpared, squareSparedTwice, logarithm };
}
