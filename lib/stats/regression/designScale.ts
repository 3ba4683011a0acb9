import type { Regressors } from './regressors';

/**
 * Coefficients and covariance of `equations` sets of (intercept, kept columns) on centred and scaled columns, carried to all columns of the
 * design on their own scale; NaN where a column was left out.
 */
export function onDesignScale(model: Regressors, at: Float64Array, covariance: Float64Array, equations: number) {
  const { width, kept, centre, scale, names } = model, full = 1 + names.length, order = equations * width, size = equations * full;
  // the coefficients are T · at: row r of T has 1/scale on its own entry, and the intercept's row −centre/scale on the others
  const rows = Array.from({ length: width }, (_, i) => {
    const row = new Float64Array(width);
    if (i > 0) row[i] = 1 / scale[i - 1]!;
    else row.forEach((_, j) => { row[j] = j === 0 ? 1 : -centre[j - 1]! / scale[j - 1]!; });
    return row;
  });
  const place = (equation: number, i: number): number => equation * full + (i === 0 ? 0 : 1 + kept[i - 1]!);
  const coefficient = new Float64Array(size).fill(NaN), result = new Float64Array(size * size).fill(NaN);
  for (let e = 0; e < equations; ++e) {
    for (let i = 0; i < width; ++i) {
      coefficient[place(e, i)] = rows[i]!.reduce((sum, t, j) => sum + t * at[e * width + j]!, 0);
      for (let f = 0; f < equations; ++f) {
        for (let k = 0; k < width; ++k) {
          let sum = 0;
          for (let j = 0; j < width; ++j) for (let l = 0; l < width; ++l) sum += rows[i]![j]! * rows[k]![l]! * covariance[(e * width + j) * order + f * width + l]!;
          result[place(e, i) * size + place(f, k)] = sum;
        }
      }
    }
  }
  return { coefficient, covariance: result };
}
