import type { NotEstimable } from '../../stats/cells';
import { chiSquareUpperTail } from '../../stats/distributions/chiSquare';
import { bracketedRoot } from '../../stats/frailty/bracketedRoot';
import { poissonLimits } from '../../stats/rates';
import { fewestUnits, type Counted } from '../funnel/overdispersion';

const rounding = 1e-10; // a gain in likelihood below this is none

/** How the true ratios of units are spread: a gamma distribution of the given shape and rate, or none but chance. */
export type RatioSpread =
  | {
    readonly status: 'ok'; readonly units: number; readonly shape: number; readonly rate: number; readonly mean: number;
    /** Likelihood ratio test that units differ by chance alone, at the edge of the possible: half a chi-square of one degree of freedom. */
    readonly excess: { readonly chisq: number; readonly p: number };
  }
  | { readonly status: 'noExcess'; readonly units: number; readonly mean: number; readonly lower: number; readonly upper: number };

/**
 * Maximum likelihood for observed ~ Poisson(θ expected), θ ~ Gamma(shape, rate), that is a negative binomial distribution.
 * Without more variance than chance gives, the one ratio that all share, with exact limits.
 * Clayton & Kaldor 1987, Biometrics 43:671; the test as in Self & Liang 1987, J Am Stat Assoc 82:605.
 */
export function gammaPoisson(all: readonly Counted[], confidence = 0.95): RatioSpread | NotEstimable {
  const units = all.filter(({ observed, expected }) => observed > 0 || expected > 0);
  const impossible = units.find(({ expected }) => !(expected > 0));
  if (impossible) throw new RangeError(`expected must be above 0 where revisions were observed (${impossible.observed}): ${impossible.expected}`);
  if (units.length < fewestUnits) return { status: 'notEstimable', reason: `fewer than ${fewestUnits} units (${units.length})` };
  const observed = units.reduce((sum, u) => sum + u.observed, 0), expected = units.reduce((sum, u) => sum + u.expected, 0);
  if (observed === 0) return { status: 'notEstimable', reason: 'no revisions' };

  const common = observed / expected, chance = logLikelihood(units, 0, common);
  const best = maxima(units).map((inverseShape) => {
    const mean = meanAt(units, inverseShape);
    return { inverseShape, mean, chisq: 2 * (logLikelihood(units, inverseShape, mean) - chance) };
  }).reduce((most, found) => (found.chisq > most.chisq ? found : most), { inverseShape: 0, mean: common, chisq: rounding });
  if (best.inverseShape === 0) {
    const { lower, upper } = poissonLimits(observed, confidence);
    return { status: 'noExcess', units: units.length, mean: common, lower: lower / expected, upper: upper / expected };
  }
  const { inverseShape, mean, chisq } = best;
  return { status: 'ok', units: units.length, shape: 1 / inverseShape, rate: 1 / (inverseShape * mean), mean, excess: { chisq, p: chiSquareUpperTail(chisq, 1) / 2 } };
}

/** Every κ above 0 at which the profile likelihood turns from rising to falling: besides one of chance alone there may be another. */
function maxima(units: readonly Counted[]): number[] {
  const found: number[] = [];
  let low = 0, atLow = profileSlope(units, 0);
  for (let high = 2 ** -14; high <= 2 ** 10 || atLow > 0; high *= 2) {
    const atHigh = profileSlope(units, high);
    if (atLow > 0 && atHigh <= 0) found.push(bracketedRoot((k) => profileSlope(units, k), low, high, atLow, atHigh, 1e-15 * high));
    low = high;
    atLow = atHigh;
  }
  return found;
}

// With κ = 1/shape, so that chance alone is κ = 0, and μ = mean · expected:
// log L = Σ [Σ_{k < O} ln(1 + κk) + O ln μ − (O + 1/κ) ln(1 + κμ)] + constant

function logLikelihood(units: readonly Counted[], inverseShape: number, mean: number): number {
  const below = sumsBelow(units, (k) => Math.log1p(inverseShape * k));
  return units.reduce((sum, { observed, expected }) => {
    const m = mean * expected;
    const total = inverseShape === 0 ? m : observed * Math.log1p(inverseShape * m) + Math.log1p(inverseShape * m) / inverseShape;
    return sum + below[observed]! + observed * Math.log(m) - total;
  }, 0);
}

/** Derivative of the log likelihood in κ where the mean is the best for it. */
function profileSlope(units: readonly Counted[], inverseShape: number): number {
  const mean = meanAt(units, inverseShape), below = sumsBelow(units, (k) => k / (1 + inverseShape * k));
  return units.reduce((sum, { observed, expected }) => {
    const m = mean * expected, x = inverseShape * m;
    return sum + below[observed]! + m * m * logRemainder(x) - (observed * m) / (1 + x);
  }, 0);
}

/** (ln(1 + x) − x/(1 + x)) / x². */
function logRemainder(x: number): number {
  if (x > 0.01) return (Math.log1p(x) - x / (1 + x)) / (x * x);
  let sum = 0;
  for (let j = 10; j >= 0; --j) sum = (j + 1) / (j + 2) - x * sum;
  return sum;
}

/** Σ over k = 0 … n − 1, for each n up to the most that was observed of a unit. */
function sumsBelow(units: readonly Counted[], of: (k: number) => number): Float64Array {
  const sums = new Float64Array(units.reduce((most, { observed }) => Math.max(most, observed), 0) + 1);
  for (let k = 0; k + 1 < sums.length; ++k) sums[k + 1] = sums[k]! + of(k);
  return sums;
}

/** The mean ratio that is most likely given κ: the root of Σ (O − mE)/(1 + κmE), which falls in m. */
function meanAt(units: readonly Counted[], inverseShape: number): number {
  const excess = (mean: number): number => units.reduce((sum, { observed, expected }) => sum + (observed - mean * expected) / (1 + inverseShape * mean * expected), 0);
  const ratios = units.map(({ observed, expected }) => observed / expected);
  const low = Math.min(...ratios), high = Math.max(...ratios);
  return low === high ? low : bracketedRoot(excess, low, high, excess(low), excess(high), 1e-15 * high);
}
