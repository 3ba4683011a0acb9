import { gammaTails } from '../../stats/distributions/incompleteGamma';
import { normalQuantile } from '../../stats/distributions/normal';
import { poissonDensity } from '../../stats/distributions/poissonDensity';

/**
 * The number of events that a Poisson count with this mean stays below with this probability, interpolated between whole numbers so that limits
 * run smoothly; at least 0. Spiegelhalter 2005, Stat Med 24:1185, appendix A.1.1.
 */
export function interpolatedPoissonQuantile(probability: number, mean: number): number {
  const upTo = (count: number): number => gammaTails(count + 1, mean).upper;
  let count = Math.max(0, Math.round(mean + normalQuantile(probability) * Math.sqrt(mean)));
  while (count > 0 && upTo(count - 1) >= probability) --count;
  while (upTo(count) < probability) ++count;
  return Math.max(0, count - (upTo(count) - probability) / poissonDensity(count, mean));
}
