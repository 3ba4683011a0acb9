import { betaFraction } from './incompleteBeta';
import { normalQuantile, normalUpperTail } from './normal';
import { stirlingError } from './poissonDensity';

/** Pr(T > t) of Student's distribution on df degrees of freedom, any number above 0; Infinity: normal. */
export function studentTUpperTail(t: number, df: number): number {
  if (t < 0) return 1 - studentTUpperTail(-t, df);
  if (df === Infinity) return normalUpperTail(t);
  // half the regularised incomplete beta function at df/(df + t²) with parameters df/2 and ½: Abramowitz & Stegun 26.7.1
  const a = df / 2, x = df / (df + t * t), y = (t * t) / (df + t * t), front = density(t, a) * Math.sqrt(df + t * t);
  if (x < (a + 1) / (a + 2.5)) return (front * betaFraction(x, a, 0.5) * Math.sqrt(y)) / (2 * a);
  return 0.5 - front * betaFraction(y, 0.5, a) * Math.sqrt(y);
}

/** Two-sided p-value of a statistic. */
export const studentTP = (t: number, df: number): number => 2 * studentTUpperTail(Math.abs(t), df);

/** t with Pr(T ≤ t) = probability. Newton's method on the logarithm of the tail, within a bracket. */
export function studentTQuantile(probability: number, df: number): number {
  if (!(probability >= 0 && probability <= 1)) throw new RangeError(`probability must be from 0 to 1: ${probability}`);
  if (probability < 0.5) return -studentTQuantile(1 - probability, df);
  if (df === Infinity || probability === 1 || probability === 0.5) return normalQuantile(probability);
  const tail = 1 - probability;
  let t = normalQuantile(probability), low = 0, high = Infinity;
  for (let k = 0; k < 200; ++k) {
    const p = studentTUpperTail(t, df);
    if (p > tail) low = t;
    else high = t;
    let next = t + (Math.log(p / tail) * p) / density(t, df / 2);
    if (!(next > low && next < high)) next = high === Infinity ? 2 * t : (low + high) / 2;
    if (Math.abs(next - t) <= 2 ** -51 * t) return next;
    t = next;
  }
  return t;
}

/** Γ(a + ½)/(Γ(a) √(2aπ)) (1 + t²/2a)^(−a − ½). */
function density(t: number, a: number): number {
  // ln Γ(a + ½) − ln Γ(a) − ½ ln a by Stirling's formula at a + 1, whose large terms cancel
  const b = a + 1, logRatio = stirlingError(b - 0.5) - stirlingError(b) + b * Math.log1p(-0.5 / b) + 0.5 + 0.5 * Math.log(b / a) + Math.log(a / (a + 0.5));
  return Math.exp(logRatio - (a + 0.5) * Math.log1p((t * t) / (2 * a))) / Math.sqrt(2 * Math.PI);
}
