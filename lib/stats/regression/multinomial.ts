import type { Design, NotEstimable } from '../cells';
import { inverse } from '../cholesky';
import { onDesignScale } from './designScale';
import { summit } from './newton';
import { regressors, type Regressors } from './regressors';
import { separationReason } from './separationReason';
import { softmaxLikelihood, softmaxProbabilities } from './softmaxLikelihood';

export interface MultinomialFit {
  readonly status: 'ok';
  readonly classes: readonly string[];
  /** (classes − 1) × (1 + columns): logarithms of the odds against the first class, intercept first; NaN for a column that is a combination of others. */
  readonly coefficient: Float64Array;
  /** Of all coefficients in that order; NaN in rows and columns without estimate. */
  readonly covariance: Float64Array;
  /** Patterns × classes. */
  readonly probability: Float64Array;
  readonly logLikelihood: { readonly null: number; readonly fitted: number };
  /** Columns left out because they are constant or combinations of earlier ones. */
  readonly leftOut: readonly string[];
}

/**
 * Multinomial logistic regression on frequency-weighted patterns; with two classes, logistic regression.
 * `counts`: patterns × classes, how many procedures of each pattern are in each class (any number of at least 0).
 * Not estimable with an empty class, or where the columns tell a class from another without exception (separation: Albert & Anderson 1984,
 * Biometrika 71:1), with the level at fault named.
 */
export function multinomial(design: Pick<Design, 'names' | 'values'>, counts: Float64Array, classes: readonly string[]): MultinomialFit | NotEstimable {
  const size = classes.length, patterns = counts.length / size;
  const bad = counts.findIndex((n) => !(n >= 0 && n < Infinity));
  if (bad >= 0) throw new RangeError(`pattern ${Math.floor(bad / size)}: counts must be finite numbers of at least 0: ${counts[bad]}`);
  const totals = classes.map((_, k) => { let sum = 0; for (let p = 0; p < patterns; ++p) sum += counts[p * size + k]!; return sum; });
  if (size < 2) return { status: 'notEstimable', reason: 'a single class: nothing to tell apart' };
  const empty = totals.indexOf(0);
  if (empty >= 0) return { status: 'notEstimable', reason: `no procedures with ${classes[empty]!}` };

  const weight = Float64Array.from({ length: patterns }, (_, p) => { let sum = 0; for (let k = 0; k < size; ++k) sum += counts[p * size + k]!; return sum; });
  const model = regressors(design, weight), { width } = model;
  const start = new Float64Array((size - 1) * width);
  for (let k = 1; k < size; ++k) start[(k - 1) * width] = Math.log(totals[k]! / totals[0]!);
  const likelihood = softmaxLikelihood(model, counts, weight, size);
  const found = summit(likelihood, start);
  if (!found) return { status: 'notEstimable', reason: 'the likelihood has no maximum that could be found' };
  if (found.diverging.size > 0) {
    return { status: 'notEstimable', reason: separationReason(design, counts, classes, [...found.diverging].map((i) => columnOf(model, i % width)).filter((j) => j >= 0)) };
  }
  const { coefficient, covariance } = onDesignScale(model, found.likelihood.at, inverse(found.factor), size - 1);
  return {
    status: 'ok',
    classes,
    coefficient,
    covariance,
    probability: softmaxProbabilities(model, found.likelihood.at, size),
    logLikelihood: { null: likelihood(start).value, fitted: found.likelihood.value },
    leftOut: design.names.filter((_, j) => !model.kept.includes(j)),
  };
}

/** The column of the design behind a regressor; −1: the intercept. */
const columnOf = ({ kept }: Regressors, regressor: number): number => (regressor === 0 ? -1 : kept[regressor - 1]!);
