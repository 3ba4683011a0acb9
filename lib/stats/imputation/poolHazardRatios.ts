import type { CoxFit } from '../cox/cox';
import type { HazardRatio, HazardRatioOptions } from '../cox/hazardRatios';
import type { NotEstimable } from '../cells';
import { rubin } from './rubin';

/** The hazard ratio of one unit of a column, pooled on the log scale. */
export interface PooledHazardRatio extends Omit<HazardRatio, 'z'> {
  readonly df: number;
  readonly fractionMissing: number;
}

/**
 * The same model fitted to each imputed data set, as one. `covariances`: per fit, where not its own (robust). Degrees of freedom of complete
 * data: events less coefficients.
 */
export function poolHazardRatios(
  fits: readonly CoxFit[], { confidence = 0.95, covariances = fits.map((f) => f.covariance) }: Pick<HazardRatioOptions, 'confidence'> & { readonly covariances?: readonly Float64Array[] } = {},
): (PooledHazardRatio | (NotEstimable & { readonly name: string }))[] {
  const [first] = fits;
  if (!first) throw new RangeError('two or more fits are needed: 0');
  const columns = first.names.length;
  return first.names.map((name, j) => {
    const missing = fits.find((f) => f.notEstimable[j])?.notEstimable[j];
    if (missing) return { status: 'notEstimable', name, reason: missing.reason };
    const estimable = first.notEstimable.filter((reason) => reason === null).length;
    const pooled = rubin(fits.map((f) => f.coefficient[j]!), covariances.map((c) => c[j * (columns + 1)]!), Math.max(1, first.events - estimable), confidence);
    return {
      status: 'ok', name, coefficient: pooled.estimate, standardError: pooled.standardError, p: pooled.p, df: pooled.df, fractionMissing: pooled.fractionMissing,
      ratio: Math.exp(pooled.estimate), lower: Math.exp(pooled.lower), upper: Math.exp(pooled.upper),
    };
  });
}
