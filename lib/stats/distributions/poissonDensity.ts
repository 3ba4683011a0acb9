const halfLogTwoPi = 0.5 * Math.log(2 * Math.PI);

/**
 * The error of Stirling's formula: ln Γ(n + 1) − ((n + ½) ln n − n + ½ ln 2π), n > 0.
 * Stirling's series (Abramowitz & Stegun 6.1.40) from 16 up, the exact difference of neighbours below.
 */
export function stirlingError(n: number): number {
  let below = 0, m = n;
  for (; m < 16; ++m) below += (m + 0.5) * Math.log1p(1 / m) - 1;
  const q = 1 / (m * m);
  return below + (1 / 12 - q * (1 / 360 - q * (1 / 1260 - q * (1 / 1680 - q * (1 / 1188 - (q * 691) / 360360))))) / m;
}

/** x ln(x/λ) + λ − x without cancellation near x = λ: with v = (x − λ)/(x + λ), ln(x/λ) = 2 artanh v. */
function deviance(x: number, lambda: number): number {
  const difference = x - lambda, v = difference / (x + lambda);
  if (!(Math.abs(v) <= 0.1)) return x * Math.log(x / lambda) - difference;
  let term = 2 * x * v, sum = difference * v;
  for (let j = 1; ; ++j) {
    term *= v * v;
    const next = sum + term / (2 * j + 1);
    if (next === sum) return sum;
    sum = next;
  }
}

/**
 * λ^x e^(−λ) / Γ(x + 1) for x ≥ 0 (not only whole numbers) and λ > 0, to about 1e-15 relative whatever their size.
 * Saddle-point form of Loader 2000, Fast and Accurate Computation of Binomial Probabilities.
 */
export function poissonDensity(x: number, lambda: number): number {
  if (x === 0) return Math.exp(-lambda);
  return Math.exp(-stirlingError(x) - deviance(x, lambda) - halfLogTwoPi) / Math.sqrt(x);
}
