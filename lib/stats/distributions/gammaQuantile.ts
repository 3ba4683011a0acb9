import { gammaTails } from './incompleteGamma';
import { normalQuantile } from './normal';
import { poissonDensity } from './poissonDensity';

/**
 * The point with the given lower (default) or upper tail probability, 0 to 1, of the gamma distribution with this shape and scale 1.
 * Newton's method on the logarithm of the tail from the cube-root approximation of Wilson & Hilferty 1931, PNAS 17:684.
 */
export function gammaQuantile(probability: number, shape: number, tail: 'lower' | 'upper' = 'lower'): number {
  if (!(probability >= 0 && probability <= 1)) throw new RangeError(`probability must be from 0 to 1: ${probability}`);
  if (probability === 0) return tail === 'lower' ? 0 : Infinity;
  if (probability > 0.5) return gammaQuantile(1 - probability, shape, tail === 'lower' ? 'upper' : 'lower'); // the smaller tail is the better conditioned
  const sign = tail === 'lower' ? 1 : -1;
  const cube = 1 - 1 / (9 * shape) + (sign * normalQuantile(probability)) / (3 * Math.sqrt(shape));
  const small = Math.exp((Math.log(tail === 'lower' ? probability : 1 - probability) - Math.log(poissonDensity(shape, 1)) - 1) / shape);
  let x = cube > 0.2 ? shape * cube ** 3 : small, low = 0, high = Infinity;
  for (let k = 0; k < 200; ++k) {
    const p = gammaTails(shape, x)[tail];
    if (sign * (p - probability) > 0) high = x;
    else low = x;
    const density = (poissonDensity(shape, x) * shape) / x;
    let next = x - (sign * Math.log(p / probability) * p) / density;
    if (!(next > low && next < high)) next = high === Infinity ? 2 * x : (low + high) / 2;
    if (Math.abs(next - x) <= 2 ** -52 * x) return next;
    x = next;
  }
  return x;
}
