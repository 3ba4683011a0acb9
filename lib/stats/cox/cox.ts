import type { Cells, Design, NotEstimable } from '../cells';
import { cholesky, quadraticForm, relativeTolerance } from '../cholesky';
import { chiSquareUpperTail } from '../distributions/chiSquare';
import { coxModel, type CoxModel, type Ties } from './coxModel';
import { maximise, type Maximum } from './maximise';
import type { CoxState } from './partialLikelihood';
import { collinearReason, divergingReason, isVague, vagueReason, type TermNotEstimable } from './termReason';

export interface ChiSquareTest { readonly status: 'ok'; readonly chisq: number; readonly df: number; readonly p: number }

export interface CoxFit {
  readonly status: 'ok';
  readonly names: readonly string[];
  readonly procedures: number;
  readonly events: number;
  /** Per column, on the scale of the design; NaN where not estimable. */
  readonly coefficient: Float64Array;
  /** Columns × columns; NaN in rows and columns that are not estimable. */
  readonly covariance: Float64Array;
  /** Per column: why it has no estimate; null where it has one. */
  readonly notEstimable: readonly (TermNotEstimable | null)[];
  readonly logLikelihood: { readonly null: number; readonly fitted: number };
  /** All coefficients 0: likelihood ratio and score test over all columns but collinear ones, Wald test over the estimable ones. */
  readonly tests: Readonly<Record<'likelihoodRatio' | 'wald' | 'score', ChiSquareTest | NotEstimable>>;
  /** Cautions to show with the estimates. */
  readonly notes: readonly string[];
  /** For residuals, the baseline hazard and tests that start from the fit. */
  readonly state: CoxState;
  readonly maximum: Maximum;
}

export interface CoxOptions {
  /** Default `efron`. */
  readonly ties?: Ties;
}

/**
 * Proportional-hazards regression on frequency-weighted cells: strata have baselines of their own, delayed entry is respected,
 * and cells give exactly what their procedures one by one would give. Not estimable as a whole only without events or a maximum.
 * Throws a RangeError on malformed cells or design.
 * Cox 1972, J R Stat Soc B 34:187; Efron 1977, J Am Stat Assoc 72:557; Breslow 1974, Biometrics 30:89.
 */
export function cox(cells: Cells, design: Design, { ties = 'efron' }: CoxOptions = {}): CoxFit | NotEstimable {
  return fitCox(coxModel(cells, design, ties));
}

/** The same for a model that is set up already. */
export function fitCox(model: CoxModel): CoxFit | NotEstimable {
  const { cells, design, columns, scale } = model;
  const events = sumOf(model.sets.events);
  if (events === 0) return { status: 'notEstimable', reason: 'no revisions' };
  const maximum = maximise(model);
  if (!('state' in maximum)) return noMaximum(maximum.columns.map((j) => design.names[j]!));

  const { state, collinear, diverging } = maximum;
  const notEstimable = design.names.map((_, j) => {
    if (collinear.has(j)) return collinearReason(model, j, collinear.get(j)!);
    if (diverging.has(j)) return divergingReason(model, j, [...diverging], state.beta);
    const at = j * (columns + 1);
    return isVague(maximum.covariance[at]!, maximum.nullCovariance[at]!) ? vagueReason(model, j) : null;
  });
  const known = (j: number): boolean => notEstimable[j] === null;
  const covariance = maximum.covariance.map((v, k) => {
    const i = Math.floor(k / columns), j = k % columns;
    return known(i) && known(j) ? v / (scale[i]! * scale[j]!) : NaN;
  });
  const coefficient = state.beta.map((b, j) => (known(j) ? b / scale[j]! : NaN));
  const { nullLogLikelihood, scoreTest } = maximum;
  const likelihoodRatio = Math.max(0, 2 * (state.logLikelihood - nullLogLikelihood));
  return {
    status: 'ok',
    names: design.names,
    procedures: sumOf(cells.count),
    events,
    coefficient,
    covariance,
    notEstimable,
    logLikelihood: { null: nullLogLikelihood, fitted: state.logLikelihood },
    tests: {
      likelihoodRatio: chiSquareTest(likelihoodRatio, scoreTest.df),
      wald: waldTest(coefficient, covariance),
      score: chiSquareTest(scoreTest.chisq, scoreTest.df),
    },
    notes: fewEvents(events, scoreTest.df),
    state,
    maximum,
  };
}

function sumOf(values: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < values.length; ++i) sum += values[i]!;
  return sum;
}

function noMaximum(names: readonly string[]): NotEstimable {
  const culprit = names.length > 0 ? `the revisions came strictly in the order of ${names.join(', ')}` : 'the likelihood has no maximum that could be found';
  return { status: 'notEstimable', reason: `${culprit}, so the model has no estimate; leave it out or group it` };
}

export function chiSquareTest(chisq: number, df: number): ChiSquareTest | NotEstimable {
  if (df === 0) return { status: 'notEstimable', reason: 'no coefficient can be estimated' };
  return { status: 'ok', chisq, df, p: chiSquareUpperTail(chisq, df) };
}

/** Test that all estimable coefficients are 0, from their covariance (model-based or robust); NaN marks those without estimate. */
export function waldTest(coefficient: Float64Array, covariance: Float64Array): ChiSquareTest | NotEstimable {
  const columns = coefficient.length, known = Array.from(coefficient.keys()).filter((j) => !Number.isNaN(coefficient[j]!));
  const matrix = Float64Array.from({ length: known.length ** 2 }, (_, k) => covariance[known[Math.floor(k / known.length)]! * columns + known[k % known.length]!]!);
  const factor = cholesky(matrix, known.length, relativeTolerance(matrix, known.length));
  return chiSquareTest(quadraticForm(factor, Float64Array.from(known, (j) => coefficient[j]!)), factor.rank);
}

/** Peduzzi et al. 1995, J Clin Epidemiol 48:1503; Vittinghoff & McCulloch 2007, Am J Epidemiol 165:710. */
function fewEvents(events: number, coefficients: number): string[] {
  if (coefficients === 0 || events >= 10 * coefficients) return [];
  return [`fewer than 10 revisions per coefficient (${events} for ${coefficients}): estimates and limits are unreliable`];
}
