import { cholesky, solve, type Cholesky } from '../cholesky';
import type { LikelihoodAt } from '../regression/newton';
import type { RandomNumbers } from './random';

/** Standard deviation of the normal prior of a coefficient: odds ratios up to e^10 a unit stay free, and separation has an end. */
const priorDeviation = 5;

/** The coefficients' most probable value, near enough for draws around it. */
export interface Mode {
  readonly at: Float64Array;
  readonly factor: Cholesky;
}

/**
 * Newton's method on a log likelihood with a weak prior on the parameters that `isCoefficient` holds for, until the next step is a small part of
 * the posterior's spread. Weakly informative priors in imputation: Gelman et al. 2008, Ann Appl Stat 2:1360; Su et al. 2011, J Stat Softw 45(2).
 */
export function posteriorMode(likelihood: (at: Float64Array) => LikelihoodAt, start: Float64Array, isCoefficient: (j: number) => boolean): Mode {
  const order = start.length, precision = Float64Array.from(start, (_, j) => (isCoefficient(j) ? priorDeviation ** -2 : 0));
  const value = (l: LikelihoodAt): number => l.value - l.at.reduce((sum, b, j) => sum + (precision[j]! * b * b) / 2, 0);
  let here = likelihood(start);
  for (let iteration = 0; ; ++iteration) {
    const { at } = here, information = here.information.slice();
    precision.forEach((p, j) => { information[j * (order + 1)]! += p; });
    const factor = cholesky(information, order, (j) => 1e-12 * information[j * (order + 1)]!);
    const gradient = here.gradient.map((g, j) => g - precision[j]! * at[j]!), step = solve(factor, gradient);
    const gain = step.reduce((sum, s, j) => sum + s * gradient[j]!, 0);
    if (gain < 0.1 || iteration === 50) return { at: at.map((v, j) => v + step[j]!), factor };
    const along = (part: number): LikelihoodAt => likelihood(at.map((v, j) => v + part * step[j]!));
    let part = 1, next = along(part);
    while (!(value(next) > value(here)) && part > 1e-6) next = along(part /= 2);
    here = next;
  }
}

/** A draw from the normal distribution around the mode whose precision is the factored matrix L D L′. */
export function drawAround({ at, factor: { order, lower, pivot } }: Mode, random: RandomNumbers, spread = 1): Float64Array {
  const deviation = Float64Array.from(pivot, (d) => (d > 0 ? (spread * random.normal()) / Math.sqrt(d) : 0));
  for (let i = order - 1; i >= 0; --i) {
    if (pivot[i] === 0) continue;
    for (let k = i + 1; k < order; ++k) deviation[i]! -= lower[k * order + i]! * deviation[k]!;
  }
  return at.map((v, j) => v + deviation[j]!);
}
