/**
 * The functions that natural cubic splines with these ascending knots are made of, at x: as many as knots, the first constant, and all
 * straight lines beyond the outer knots. Hastie, Tibshirani & Friedman 2009, The Elements of Statistical Learning, §5.2.1.
 */
export function naturalSpline(knots: Float64Array): (x: number) => Float64Array {
  const last = knots.length - 1, low = knots[0]!, width = knots[last]! - low;
  const at = (k: number): number => (knots[k]! - low) / width; // on 0–1, for numerical stability
  const cube = (v: number): number => (v > 0 ? v ** 3 : 0);
  const ramp = (u: number, k: number): number => (cube(u - at(k)) - cube(u - 1)) / (1 - at(k));
  return (x) => {
    const u = (x - low) / width;
    return Float64Array.from(knots, (_, k) => (k === 0 ? 1 : k === 1 ? u : ramp(u, k - 2) - ramp(u, last - 1)));
  };
}
