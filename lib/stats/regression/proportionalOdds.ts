import type { ChiSquareTest } from '../cox/cox';
import { waldTest } from '../cox/cox';
import type { NotEstimable } from '../cells';
import { inverse } from '../cholesky';
import { clusterCount, clusterCrossProducts } from '../clusterCrossProducts';
import { summit } from './newton';
import { ordinalLikelihood } from './ordinalLikelihood';
import { distinctRows } from './distinctRows';
import type { FitOrNot, Rows, RowsFit } from './ownRows';
import { regressors, type Regressors } from './regressors';

/** `coefficient`: classes − 1 thresholds, then a log odds ratio per column (positive: higher classes). */
export interface ProportionalOddsFit extends RowsFit {
  readonly logLikelihood: number;
  /** That the log odds ratios are the same at every cut between classes, from separate logistic models of each cut that has one. */
  readonly proportional: ChiSquareTest | NotEstimable;
}

/**
 * The proportional-odds model (McCullagh 1980, J R Stat Soc B 42:109) with a covariance robust to dependence within clusters. `y`: 0 … classes − 1.
 * The test of proportional odds is that of Brant 1990, Biometrics 46:1171, with the joint covariance of the cuts estimated from their influence
 * functions, so that it allows for clusters too.
 * Not estimable where a class is empty or the columns tell classes apart without exception.
 */
export function proportionalOdds(y: Int32Array, data: Rows, classes: number): FitOrNot<ProportionalOddsFit> {
  for (let k = 0; k < classes; ++k) if (!y.includes(k)) return { status: 'notEstimable', reason: 'a grade that nobody has' };
  if (classes < 2) return { status: 'notEstimable', reason: 'everybody has the same grade' };
  const { cells, model } = cellsOf(y, data, classes), width = model.width - 1;
  const fit = fitted(cells, width, cells.y, classes);
  if ('reason' in fit) return fit;
  const cuts = classes - 1, covariance = clusterCrossProducts(fit.influence, cells, cuts + width);
  return {
    status: 'ok',
    ...onOwnScale(model, fit.at, covariance, cuts),
    rows: y.length,
    clusters: clusterCount(cells),
    logLikelihood: fit.value,
    proportional: sameAtEveryCut(cells, width, classes),
  };
}

/** Rows with the same columns and class that are clusters of their own, as one cell; `x` without an intercept. */
interface OrderedCells { readonly x: Float64Array; readonly y: Int32Array; readonly count: Float64Array; readonly cluster: Int32Array }

function cellsOf(y: Int32Array, { names, values, cluster }: Rows, classes: number): { cells: OrderedCells; model: Regressors } {
  const rows = y.length, distinct = distinctRows(values, names.length, rows), weight = new Float64Array(distinct.size), sizes = new Map<number, number>();
  for (let i = 0; i < rows; ++i) {
    weight[distinct.pattern[i]!]! += 1;
    const c = cluster?.[i] ?? -1;
    if (c >= 0) sizes.set(c, (sizes.get(c) ?? 0) + 1);
  }
  const model = regressors({ names, values: distinct.values }, weight), width = model.width - 1, place = new Map<number, number>();
  const of: { pattern: number; y: number; count: number; cluster: number }[] = [];
  for (let i = 0; i < rows; ++i) {
    const c = cluster?.[i] ?? -1, shared = c >= 0 && sizes.get(c)! > 1, pattern = distinct.pattern[i]!, key = pattern * classes + y[i]!, known = shared ? undefined : place.get(key);
    if (known !== undefined) of[known]!.count += 1;
    else {
      if (!shared) place.set(key, of.length);
      of.push({ pattern, y: y[i]!, count: 1, cluster: shared ? c : -1 });
    }
  }
  const x = new Float64Array(of.length * width);
  of.forEach(({ pattern }, i) => { for (let j = 0; j < width; ++j) x[i * width + j] = model.x[pattern * model.width + 1 + j]!; });
  return { model, cells: { x, y: Int32Array.from(of, (c) => c.y), count: Float64Array.from(of, (c) => c.count), cluster: Int32Array.from(of, (c) => c.cluster) } };
}

interface Fitted { readonly at: Float64Array; readonly value: number; /** Cells × parameters: what each row of a cell adds to the estimates. */ readonly influence: Float64Array }

function fitted({ x, count }: OrderedCells, width: number, y: Int32Array, classes: number): Fitted | NotEstimable {
  const cuts = classes - 1, order = cuts + width, start = new Float64Array(order), rows = y.length, total = count.reduce((sum, n) => sum + n, 0);
  for (let k = 0; k < cuts; ++k) {
    const below = y.reduce((sum, v, i) => (v <= k ? sum + count[i]! : sum), 0);
    start[k] = Math.log(below / (total - below));
  }
  const found = summit(ordinalLikelihood(x, width, y, count, classes), start);
  if (!found) return { status: 'notEstimable', reason: 'the likelihood has no maximum that could be found' };
  if (found.diverging.size > 0) return { status: 'notEstimable', reason: 'a group is told from another by the grade without exception, so the odds ratio has no bound' };
  const { at, value } = found.likelihood, spread = inverse(found.factor), influence = new Float64Array(rows * order), score = new Float64Array(order);
  for (let i = 0; i < rows; ++i) {
    score.fill(0);
    let eta = 0;
    for (let j = 0; j < width; ++j) eta += at[cuts + j]! * x[i * width + j]!;
    const k = y[i]!, high = k < cuts ? 1 / (1 + Math.exp(eta - at[k]!)) : 1, low = k > 0 ? 1 / (1 + Math.exp(eta - at[k - 1]!)) : 0, p = high - low;
    if (k < cuts) score[k] = (high * (1 - high)) / p;
    if (k > 0) score[k - 1] = -(low * (1 - low)) / p;
    for (let j = 0; j < width; ++j) score[cuts + j] = (high + low - 1) * x[i * width + j]!;
    for (let a = 0; a < order; ++a) {
      let sum = 0;
      for (let b = 0; b < order; ++b) sum += spread[a * order + b]! * score[b]!;
      influence[i * order + a] = sum;
    }
  }
  return { at, value, influence };
}

function sameAtEveryCut(cells: OrderedCells, width: number, classes: number): ChiSquareTest | NotEstimable {
  const cuts = classes - 1, rows = cells.y.length;
  if (cuts < 2 || width === 0) return { status: 'notEstimable', reason: cuts < 2 ? 'there is one cut only' : 'nothing to compare' };
  const each = Array.from({ length: cuts }, (_, k) => fitted(cells, width, cells.y.map((v) => Number(v > k)), 2)).filter((f): f is Fitted => !('reason' in f));
  if (each.length < 2) return { status: 'notEstimable', reason: 'too few in the highest or lowest grades to look at each cut by itself' };
  const order = (each.length - 1) * width, contrast = new Float64Array(rows * order), difference = new Float64Array(order);
  for (let k = 1; k < each.length; ++k) {
    for (let j = 0; j < width; ++j) {
      const to = (k - 1) * width + j, from = 1 + j;
      difference[to] = each[k]!.at[from]! - each[0]!.at[from]!;
      for (let i = 0; i < rows; ++i) contrast[i * order + to] = each[k]!.influence[i * (1 + width) + from]! - each[0]!.influence[i * (1 + width) + from]!;
    }
  }
  return waldTest(difference, clusterCrossProducts(contrast, cells, order));
}

/** Thresholds and coefficients of centred and scaled columns, carried to the design's own: α_k + Σ β_j centre_j/scale_j, and β_j/scale_j. */
function onOwnScale({ kept, centre, scale, names }: Regressors, at: Float64Array, covariance: Float64Array, cuts: number) {
  const own = cuts + kept.length, full = cuts + names.length;
  const place = (i: number): number => (i < cuts ? i : cuts + kept[i - cuts]!);
  const row = (i: number): Float64Array => {
    const result = new Float64Array(own);
    if (i >= cuts) result[i] = 1 / scale[i - cuts]!;
    else for (let j = 0; j < own; ++j) result[j] = j === i ? 1 : j >= cuts ? centre[j - cuts]! / scale[j - cuts]! : 0;
    return result;
  };
  const rows = Array.from({ length: own }, (_, i) => row(i));
  const coefficient = new Float64Array(full).fill(NaN), result = new Float64Array(full * full).fill(NaN);
  rows.forEach((left, i) => {
    coefficient[place(i)] = left.reduce((sum, t, j) => sum + t * at[j]!, 0);
    rows.forEach((right, k) => {
      let sum = 0;
      for (let a = 0; a < own; ++a) for (let b = 0; b < own; ++b) sum += left[a]! * right[b]! * covariance[a * own + b]!;
      result[place(i) * full + place(k)] = sum;
    });
  });
  return { coefficient, covariance: result };
}
