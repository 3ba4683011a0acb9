import { cholesky, nullVector, quadraticForm, solve, type Cholesky } from '../cholesky';
import type { CoxModel } from './coxModel';
import { coxState, information, score, type CoxState } from './partialLikelihood';

/** Columns without an estimate, and the other columns that each is bound to. */
export interface Maximum {
  readonly state: CoxState;
  /** Of the information at the maximum, without the columns that are collinear or held where they diverged. */
  readonly factor: Cholesky;
  readonly nullLogLikelihood: number;
  /** Score test of all coefficients 0, and its degrees of freedom. */
  readonly scoreTest: { readonly chisq: number; readonly df: number };
  /** Columns that the null model's information shows to be combinations of earlier ones; mapped to those (none: no variation in any risk set). */
  readonly collinear: ReadonlyMap<number, readonly number[]>;
  /** Columns whose coefficients grow without bound. */
  readonly diverging: ReadonlySet<number>;
}

export interface NoMaximum { readonly columns: readonly number[] }

const mostIterations = 200;
const largestLinear = 300; // e^300: beyond, sums of relative hazards lose the small ones

/**
 * Newton's method from 0 with step-halving. A direction whose information vanishes on the way is one in which the likelihood rises for ever:
 * it is held where it is, its columns are named, and the others go on to their limits.
 */
export function maximise(model: CoxModel): Maximum | NoMaximum {
  const { columns } = model;
  let state = coxState(model, new Float64Array(columns));
  const nullLogLikelihood = state.logLikelihood, start = information(state), events = model.sets.events.reduce((sum, d) => sum + d, 0);
  const startFactor = cholesky(start, columns, (j) => Math.max(1e-11 * start[j * columns + j]!, 1e-14 * events));
  const scoreTest = { chisq: quadraticForm(startFactor, score(state)), df: startFactor.rank };
  const collinear = new Map(leftOut(startFactor).map((j) => [j, boundTo(startFactor, j).filter((i) => i !== j)]));
  const held = new Set(collinear.keys()), diverging = new Set<number>();

  for (let iteration = 0, before = Infinity; iteration < mostIterations; ++iteration) {
    const matrix = information(state);
    const vanishing = (j: number): number => (held.has(j) ? Infinity : Math.max(1e-12, 4e-15 * events, 1e-13 * matrix[j * columns + j]!));
    const factor = cholesky(matrix, columns, vanishing);
    for (const j of leftOut(factor)) {
      if (held.has(j)) continue;
      held.add(j);
      for (const i of boundTo(factor, j)) diverging.add(i);
    }
    const gradient = score(state), step = solve(factor, gradient);
    const gain = step.reduce((sum, v, j) => sum + v * gradient[j]!, 0);
    const size = step.reduce((most, v, j) => Math.max(most, Math.abs(v) / (1 + Math.abs(state.beta[j]!))), 0);
    const settled = gain <= 1e-13 * (1 + Math.abs(state.logLikelihood)) && size < 1e-3 && size > before / 2; // rounding is all that is left
    if (size < 1e-9 || settled) {
      state = coxState(model, state.beta.map((b, j) => b + step[j]!));
      return { state, factor: cholesky(information(state), columns, (j) => (held.has(j) ? Infinity : 0)), nullLogLikelihood, scoreTest, collinear, diverging };
    }
    before = size;
    const next = ascend(state, step, gain);
    if (!next) return { columns: largest(step) };
    state = next;
  }
  return { columns: [] };
}

/** The first of the full step and its halves that raises the likelihood as a step of this gain should. */
function ascend(state: CoxState, step: Float64Array, gain: number): CoxState | null {
  const rounding = 1e-12 * (1 + Math.abs(state.logLikelihood));
  for (let part = 1; part > 1e-9; part /= 2) {
    const next = coxState(state.model, state.beta.map((b, j) => b + part * step[j]!));
    const within = next.sums.linear.every((v) => Math.abs(v) < largestLinear);
    if (within && next.logLikelihood >= state.logLikelihood + 1e-4 * part * gain - rounding) return next;
  }
  return null;
}

const leftOut = (factor: Cholesky): number[] => Array.from(factor.pivot.keys()).filter((j) => factor.pivot[j] === 0);

/** The columns of the combination that made the pivot of column j vanish, j among them. */
const boundTo = (factor: Cholesky, j: number): number[] => Array.from(nullVector(factor, j).entries()).filter(([, v]) => Math.abs(v) > 1e-5).map(([i]) => i);

function largest(step: Float64Array): number[] {
  const most = step.reduce((m, v) => Math.max(m, Math.abs(v)), 0);
  return Array.from(step.keys()).filter((j) => Math.abs(step[j]!) > 1e-3 * most);
}
