import { cholesky, inverse, nullVector, quadraticForm, solve, type Cholesky } from '../cholesky';
import { boundlessDirections } from './boundlessDirections';
import type { CoxModel } from './coxModel';
import { coxState, hazardShares, information, score, type CoxState } from './partialLikelihood';
import { stepByPattern } from './stepByPattern';

export interface Maximum {
  readonly state: CoxState;
  /** Of the coefficients of the scaled covariates; 0 in rows and columns of collinear ones, and only meaningful in those with an estimate. */
  readonly covariance: Float64Array;
  /** The same in the null model. */
  readonly nullCovariance: Float64Array;
  readonly nullLogLikelihood: number;
  /** Score test of all coefficients 0, and its degrees of freedom. */
  readonly scoreTest: { readonly chisq: number; readonly df: number };
  /** Columns that the null model's information shows to be combinations of earlier ones; mapped to those (none: no variation in any risk set). */
  readonly collinear: ReadonlyMap<number, readonly number[]>;
  /** Columns whose coefficients grow without bound. */
  readonly diverging: ReadonlySet<number>;
}

/** Columns that kept the search from settling. */
export interface NoMaximum { readonly columns: readonly number[] }

const mostIterations = 200;
const toTheLimit = 25; // further steps once a direction is seen to be boundless: each brings it nearer to its limit by a factor of e
const stepsByPattern = 3; // what has not settled after them may be boundless, and is followed by Newton's steps
const patternToCell = 4; // a pattern takes as long in a step as so many cells in the sums over risk sets
const largestLinear = 300; // beyond e^300, squares of relative hazards overflow

/**
 * Newton's method from 0, with better steps where patterns are few, and with step-halving. Where the likelihood rises for ever in some direction, its information falls to nothing against
 * that of the null model: such directions are followed to where they no longer matter to the others, and their columns named.
 */
export function maximise(model: CoxModel): Maximum | NoMaximum {
  const { columns } = model;
  let state = coxState(model, new Float64Array(columns)), share = hazardShares(state), ofState = information(state, undefined, share);
  const nullLogLikelihood = state.logLikelihood, start = ofState, events = model.sets.events.reduce((sum, d) => sum + d, 0);
  const startFactor = cholesky(start, columns, (j) => Math.max(1e-11 * start[j * columns + j]!, 1e-14 * events));
  const scoreTest = { chisq: quadraticForm(startFactor, score(state)), df: startFactor.rank };
  const collinear = new Map(leftOut(startFactor).map((j) => [j, boundTo(startFactor, j)]));
  const factorOf = (matrix: Float64Array): Cholesky => cholesky(matrix, columns, (j) => (collinear.has(j) ? Infinity : 0));
  const few = patternToCell * model.patterns < model.cells.exit.length;
  const directions = () => boundlessDirections(ofState, start, columns, (j) => !collinear.has(j));
  // a trace of the null model's information holds boundless directions where their own is lost in rounding
  const trace = start.map((v, k) => 1e-13 * v + (k % (columns + 1) === 0 ? 1e-15 * events : 0));

  let spent: CoxState | undefined;
  for (let iteration = 0, before = Infinity, left = Infinity; iteration < mostIterations; ++iteration) {
    const gradient = score(state), held = ofState.map((v, k) => v + trace[k]!);
    const step = (few && iteration < stepsByPattern ? stepByPattern(state, share, gradient, held, factorOf, startFactor.rank) : null) ?? solve(factorOf(held), gradient);
    const gain = step.reduce((sum, v, j) => sum + v * gradient[j]!, 0);
    const size = step.reduce((most, v, j) => Math.max(most, Math.abs(v) / (1 + Math.abs(state.beta[j]!))), 0);
    const isLast = before < Infinity && size < 1e-6 && size * (size / before) ** 2 < 1e-14; // steps shrink by the square: what the next would be
    const settled = size < 1e-9 || isLast || (gain <= 1e-13 * (1 + Math.abs(state.logLikelihood)) && size < 1e-3 && size > before / 2); // rounding is all that is left
    if (!settled && left === Infinity && gain < 1e-6 && directions().smallest < 1e-5) left = toTheLimit;
    const next = settled ? coxState(model, state.beta.map((b, j) => b + step[j]!), spent) : left > 0 ? ascend(state, step, gain, spent) : state;
    if (!next && left === Infinity) return { columns: largest(step) };
    if (next && next !== state) {
      spent = state;
      state = next;
      share = hazardShares(state);
      ofState = information(state, undefined, share);
    }
    if (settled || left === 0 || !next) {
      const { columns: diverging, covariance, undecided } = directions();
      if (undecided && !settled) return { columns: largest(step) };
      const nullCovariance = inverse(startFactor);
      return { state, covariance: covariance ?? inverse(factorOf(ofState)), nullCovariance, nullLogLikelihood, scoreTest, collinear, diverging };
    }
    before = size;
    --left;
  }
  return { columns: [] };
}

/** The first of the full step and its halves that raises the likelihood as a step of this gain should. */
function ascend(state: CoxState, step: Float64Array, gain: number, spent: CoxState | undefined): CoxState | null {
  const rounding = 1e-12 * (1 + Math.abs(state.logLikelihood));
  for (let part = 1, next = spent; part > 1e-9; part /= 2) {
    next = coxState(state.model, state.beta.map((b, j) => b + part * step[j]!), next);
    const within = next.sums.linear.every((v) => Math.abs(v) < largestLinear);
    if (within && next.logLikelihood >= state.logLikelihood + 1e-4 * part * gain - rounding) return next;
  }
  return null;
}

const leftOut = (factor: Cholesky): number[] => Array.from(factor.pivot.keys()).filter((j) => factor.pivot[j] === 0);

/** The other columns of the combination that made the pivot of column j vanish. */
const boundTo = (factor: Cholesky, j: number): number[] =>
  Array.from(nullVector(factor, j).entries()).filter(([i, v]) => i !== j && Math.abs(v) > 1e-5).map(([i]) => i);

function largest(step: Float64Array): number[] {
  const most = step.reduce((m, v) => Math.max(m, Math.abs(v)), 0);
  return Array.from(step.keys()).filter((j) => Math.abs(step[j]!) > 1e-3 * most);
}
