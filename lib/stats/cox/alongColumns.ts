import type { CoxFit } from './cox';

/**
 * What a fit says of some of its columns, for `robustCovariance` and `hazardRatios`: score residuals are taken in the directions of their estimates at
 * once (U times the columns of the model-based covariance), which takes no longer with more columns in the model.
 */
export function alongColumns(fit: CoxFit, wanted: readonly number[]): CoxFit {
  const { state, maximum } = fit, { columns, scale } = state.model, size = wanted.length;
  const directions = (rows: Float64Array): Float64Array => {
    const along = new Float64Array((rows.length / columns) * size);
    wanted.forEach((w, c) => { addDirection(along, c, size, rows, Float64Array.from({ length: columns }, (_, j) => maximum.covariance[j * columns + w]!)); });
    return along;
  };
  const of = (values: Float64Array): Float64Array => Float64Array.from(wanted, (w) => values[w]!);
  return {
    ...fit,
    names: wanted.map((w) => fit.names[w]!),
    coefficient: of(fit.coefficient),
    covariance: Float64Array.from({ length: size * size }, (_, k) => fit.covariance[wanted[Math.floor(k / size)]! * columns + wanted[k % size]!]!),
    notEstimable: wanted.map((w) => fit.notEstimable[w]!),
    maximum: { ...maximum, covariance: Float64Array.from({ length: size * size }, (_, k) => (k % (size + 1) === 0 ? 1 : 0)) }, // the directions hold it already
    state: {
      ...state,
      model: { ...state.model, columns: size, x: directions(state.model.x), scale: of(scale) },
      sums: { ...state.sums, s1: directions(state.sums.s1), e1: directions(state.sums.e1) },
    },
  };
}

/** Column c of `along`: the rows times the direction. */
function addDirection(along: Float64Array, c: number, size: number, rows: Float64Array, direction: Float64Array): void {
  for (let from = 0, at = c; from < rows.length; from += direction.length, at += size) {
    let sum = 0;
    for (let j = 0; j < direction.length; ++j) sum += rows[from + j]! * direction[j]!;
    along[at] = sum;
  }
}
