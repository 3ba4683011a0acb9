import { gammaTails, upperFraction } from './incompleteGamma';

/** Pr(Z > z) of the standard normal distribution, accurate to its last digits far into the tail; NaN of NaN. */
export function normalUpperTail(z: number): number {
  if (Number.isNaN(z) || z === Infinity) return z === Infinity ? 0 : NaN;
  if (z < 0) return 1 - normalUpperTail(-z);
  if (z < 2) return gammaTails(0.5, (z * z) / 2).upper / 2;
  // e^(−z²/2) in two factors: squaring a z of few binary digits is exact
  const coarse = Math.round(z * 16) / 16;
  const exponential = Math.exp((-coarse * coarse) / 2) * Math.exp((-(z - coarse) * (z + coarse)) / 2);
  return (exponential * upperFraction(0.5, (z * z) / 2)) / (z * Math.sqrt(2 * Math.PI));
}

/** Two-sided p-value of a standard normal statistic: 0 only where it is below the smallest double. */
export const normalP = (z: number): number => 2 * normalUpperTail(Math.abs(z));

let last = { probability: 0.5, z: 0 }; // the limits of a curve ask for the same one at every step

/** z with Pr(Z ≤ z) = probability. Halley's method from Abramowitz & Stegun 26.2.23. */
export function normalQuantile(probability: number): number {
  if (!(probability >= 0 && probability <= 1)) throw new RangeError(`probability must be from 0 to 1: ${probability}`);
  if (probability > 0.5) return -normalQuantile(1 - probability);
  if (probability !== last.probability) last = { probability, z: lowerQuantile(probability) };
  return last.z;
}

function lowerQuantile(probability: number): number {
  if (probability === 0) return -Infinity;
  const t = Math.sqrt(-2 * Math.log(probability));
  let z = t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
  for (let k = 0; k < 4; ++k) {
    const tail = normalUpperTail(z), density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
    const step = (tail * Math.log(tail / probability)) / density; // Newton's step for the logarithm of the tail
    z += step;
    if (Math.abs(step) <= 2 ** -52 * Math.abs(z)) break;
  }
  return -z;
}
