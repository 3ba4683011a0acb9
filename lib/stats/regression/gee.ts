import { cholesky, inverse, solve, type Cholesky } from '../cholesky';
import { product } from '../product';
import { onDesignScale } from './designScale';
import { identityEquations, logitEquations } from './geeEquations';
import { ones, type FitOrNot, type Rows, type RowsFit } from './ownRows';
import { regressors } from './regressors';

export interface GeeFit extends RowsFit {
  /** Of the working correlation between any two rows of a cluster. */
  readonly correlation: number;
  readonly scale: number;
}

const mostSteps = 200;

/**
 * Generalised estimating equations with an exchangeable working correlation: identity link for measured amounts, logit link for a sign (y 0 or 1).
 * Intercept first. Scale and correlation are the plain means of squared and multiplied Pearson residuals; the covariance is the robust one, without
 * a correction for few clusters.
 * Liang & Zeger 1986, Biometrika 73:13.
 */
export function gee(y: Float64Array, data: Rows & { readonly cluster: Int32Array }, link: 'identity' | 'logit'): FitOrNot<GeeFit> {
  const n = y.length;
  if (n === 0) return { status: 'notEstimable', reason: 'nothing was assessed' };
  if (link === 'logit' && new Set(y).size < 2) return { status: 'notEstimable', reason: y[0] === 1 ? 'the sign was always present' : 'the sign was never present' };
  const model = regressors(data, ones(n)), { width } = model, equations = (link === 'identity' ? identityEquations : logitEquations)(y, model, data.cluster);
  if (equations.clusters <= width) return { status: 'notEstimable', reason: `${equations.clusters} clusters are too few for ${width} coefficients` };
  let at = new Float64Array(width), correlation = 0, scale = 1;
  if (link === 'logit') {
    const share = y.reduce((sum, v) => sum + v, 0) / n;
    at[0] = Math.log(share / (1 - share));
  }
  for (let k = 0; k < mostSteps; ++k) {
    const { bread, score } = equations.at(at, correlation), factor = factorOf(bread, width);
    if (factor.rank < width) return { status: 'notEstimable', reason: 'the columns tell those with the sign from those without almost without exception' };
    const step = solve(factor, score), moved = step.reduce((most, v) => Math.max(most, Math.abs(v)), 0), before = correlation;
    at = at.map((v, j) => v + step[j]!);
    if (!Number.isFinite(moved) || (link === 'logit' && at.some((v) => Math.abs(v) > 30))) {
      return { status: 'notEstimable', reason: 'a group has the sign always or never, so its odds ratio has no bound' };
    }
    ({ correlation, scale } = equations.moments(at));
    if (moved < 1e-10 * (1 + Math.sqrt(scale)) && Math.abs(correlation - before) < 1e-10) {
      const bread1 = inverse(factorOf(equations.at(at, correlation).bread, width)), meat = equations.meat(at, correlation);
      return { status: 'ok', ...onDesignScale(model, at, product(product(bread1, meat, width), bread1, width), 1), rows: n, clusters: equations.clusters, correlation, scale };
    }
  }
  return { status: 'notEstimable', reason: 'the estimates did not settle' };
}

const factorOf = (bread: Float64Array, width: number): Cholesky => cholesky(bread, width, (j) => 1e-11 * bread[j * width + j]!);
