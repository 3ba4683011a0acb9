import { cholesky, inverse, solve } from '../cholesky';
import { clusterCount, clusterCrossProducts } from '../clusterCrossProducts';
import { product } from '../product';
import { onDesignScale } from './designScale';
import { ones, type FitOrNot, type Rows, type RowsFit } from './ownRows';
import { regressors } from './regressors';

export interface LeastSquaresFit extends RowsFit {
  /** Degrees of freedom of the limits: clusters − 1, or rows − coefficients where every row is its own cluster. */
  readonly df: number;
}

/**
 * Linear regression with an intercept (coefficient 0) and a covariance that is robust against unequal variances and dependence within clusters:
 * residuals squared by cluster, times G/(G − 1) · (n − 1)/(n − k) for G clusters, n rows and k coefficients (Liang & Zeger 1986, Biometrika 73:13;
 * the correction of MacKinnon & White 1985, J Econometrics 29:305, which for rows on their own is n/(n − k)).
 * Not estimable with fewer rows than coefficients + 1, or a single cluster. `y` and `values` must be finite.
 */
export function leastSquares(y: Float64Array, { names, values, cluster }: Rows): FitOrNot<LeastSquaresFit> {
  const n = y.length, bad = y.findIndex((v) => !Number.isFinite(v));
  if (bad >= 0) throw new RangeError(`row ${bad}: y must be finite: ${y[bad]}`);
  if (n < 2) return { status: 'notEstimable', reason: 'fewer than two values' };
  const model = regressors({ names, values }, ones(n)), { x, width } = model, members = { count: ones(n), ...(cluster && { cluster }) };
  const clusters = clusterCount(members);
  if (n <= width) return { status: 'notEstimable', reason: `${n} values are too few for ${width} coefficients` };
  if (clusters < 2) return { status: 'notEstimable', reason: 'all values belong to one cluster' };
  const cross = new Float64Array(width * width), right = new Float64Array(width);
  for (let i = 0; i < n; ++i) {
    for (let a = 0; a < width; ++a) {
      const v = x[i * width + a]!;
      right[a]! += v * y[i]!;
      for (let b = 0; b <= a; ++b) cross[a * width + b]! += v * x[i * width + b]!;
    }
  }
  for (let a = 0; a < width; ++a) for (let b = 0; b < a; ++b) cross[b * width + a] = cross[a * width + b]!;
  const factor = cholesky(cross, width, () => 0), at = solve(factor, right), bread = inverse(factor);
  const scores = new Float64Array(n * width);
  for (let i = 0; i < n; ++i) {
    let residual = y[i]!;
    for (let a = 0; a < width; ++a) residual -= x[i * width + a]! * at[a]!;
    for (let a = 0; a < width; ++a) scores[i * width + a] = residual * x[i * width + a]!;
  }
  const correction = (clusters / (clusters - 1)) * ((n - 1) / (n - width));
  const robust = product(product(bread, clusterCrossProducts(scores, members, width), width), bread, width).map((v) => v * correction);
  return { status: 'ok', ...onDesignScale(model, at, robust, 1), rows: n, clusters, df: clusters === n ? n - width : clusters - 1 };
}
