import { cholesky, inverse, solve } from '../cholesky';
import { product } from '../product';
import { onDesignScale } from './designScale';
import { ones, type FitOrNot, type Rows, type RowsFit } from './ownRows';
import { regressors, type Regressors } from './regressors';

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
  if (link === 'logit' && new Set(y).size < 2) return { status: 'notEstimable', reason: n === 0 ? 'nothing was assessed' : y[0] === 1 ? 'the sign was always present' : 'the sign was never present' };
  const model = regressors(data, ones(n)), { width } = model, members = membersOf(data.cluster);
  if (members.length <= width) return { status: 'notEstimable', reason: `${members.length} clusters are too few for ${width} coefficients` };
  let at = new Float64Array(width), correlation = 0, scale = 1;
  if (link === 'logit') {
    const share = y.reduce((sum, v) => sum + v, 0) / n;
    at[0] = Math.log(share / (1 - share));
  }
  for (let k = 0; k < mostSteps; ++k) {
    const { bread, score } = equations(y, model, members, at, correlation, link, null);
    const factor = cholesky(bread, width, (j) => 1e-11 * bread[j * width + j]!);
    if (factor.rank < width) return { status: 'notEstimable', reason: 'the columns tell those with the sign from those without almost without exception' };
    const step = solve(factor, score);
    const next = at.map((v, j) => v + step[j]!), moved = step.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
    if (!Number.isFinite(moved) || next.some((v) => Math.abs(v) > 30 * (link === 'logit' ? 1 : Infinity))) {
      return { status: 'notEstimable', reason: 'a group has the sign always or never, so its odds ratio has no bound' };
    }
    at = next;
    const before = correlation;
    ({ correlation, scale } = moments(y, model, members, at, link));
    if (moved < 1e-10 * (1 + Math.sqrt(scale)) && Math.abs(correlation - before) < 1e-10) {
      const scores = new Float64Array(members.length * width), last = equations(y, model, members, at, correlation, link, scores);
      const inner = inverse(cholesky(last.bread, width, () => 0));
      const robust = product(product(inner, crossProducts(scores, width), width), inner, width);
      return { status: 'ok', ...onDesignScale(model, at, robust, 1), rows: n, clusters: members.length, correlation, scale };
    }
  }
  return { status: 'notEstimable', reason: 'the estimates did not settle' };
}

/** The rows of each cluster; those of number −1 alone. */
function membersOf(cluster: Int32Array): readonly (readonly number[])[] {
  const shared = new Map<number, number[]>(), all: number[][] = [];
  cluster.forEach((c, i) => {
    const known = c < 0 ? undefined : shared.get(c);
    if (known) return void known.push(i);
    const own = [i];
    all.push(own);
    if (c >= 0) shared.set(c, own);
  });
  return all;
}

type Link = 'identity' | 'logit';

/** Mean of row i, and its variance but for the scale: for both links the derivative of the mean too. */
function meanOf({ x, width }: Regressors, at: Float64Array, i: number, link: Link): { mean: number; variance: number } {
  let eta = 0;
  for (let a = 0; a < width; ++a) eta += x[i * width + a]! * at[a]!;
  if (link === 'identity') return { mean: eta, variance: 1 };
  const mean = 1 / (1 + Math.exp(-eta));
  return { mean, variance: mean * (1 - mean) };
}

/** Derivative and value of the estimating equations, both times the scale; `scores` takes the part of each cluster. */
function equations(
  y: Float64Array, model: Regressors, members: readonly (readonly number[])[], at: Float64Array, correlation: number, link: Link, scores: Float64Array | null,
) {
  const { x, width } = model, bread = new Float64Array(width * width), score = new Float64Array(width);
  members.forEach((rows, c) => {
    const sum = new Float64Array(width), own = new Float64Array(width), shared = correlation / (1 + (rows.length - 1) * correlation);
    let residuals = 0;
    for (const i of rows) {
      const { mean, variance } = meanOf(model, at, i, link), root = Math.sqrt(variance), residual = (y[i]! - mean) / root;
      residuals += residual;
      for (let a = 0; a < width; ++a) {
        const v = root * x[i * width + a]!;
        sum[a]! += v;
        own[a]! += v * residual;
        for (let b = 0; b <= a; ++b) bread[a * width + b]! += (v * root * x[i * width + b]!) / (1 - correlation);
      }
    }
    for (let a = 0; a < width; ++a) {
      const part = (own[a]! - shared * sum[a]! * residuals) / (1 - correlation);
      score[a]! += part;
      if (scores) scores[c * width + a] = part;
      for (let b = 0; b <= a; ++b) bread[a * width + b]! -= (shared * sum[a]! * sum[b]!) / (1 - correlation);
    }
  });
  for (let a = 0; a < width; ++a) for (let b = 0; b < a; ++b) bread[b * width + a] = bread[a * width + b]!;
  return { bread, score };
}

function moments(y: Float64Array, model: Regressors, members: readonly (readonly number[])[], at: Float64Array, link: Link) {
  let squares = 0, products = 0, pairs = 0;
  for (const rows of members) {
    let sum = 0, own = 0;
    for (const i of rows) {
      const { mean, variance } = meanOf(model, at, i, link), residual = (y[i]! - mean) / Math.sqrt(variance);
      sum += residual;
      own += residual * residual;
    }
    squares += own;
    products += (sum * sum - own) / 2;
    pairs += (rows.length * (rows.length - 1)) / 2;
  }
  const scale = squares / y.length;
  return { scale, correlation: pairs === 0 || scale === 0 ? 0 : Math.min(0.99, products / pairs / scale) };
}

function crossProducts(scores: Float64Array, width: number): Float64Array {
  const result = new Float64Array(width * width);
  for (let c = 0; c < scores.length; c += width) for (let a = 0; a < width; ++a) for (let b = 0; b < width; ++b) result[a * width + b]! += scores[c + a]! * scores[c + b]!;
  return result;
}
