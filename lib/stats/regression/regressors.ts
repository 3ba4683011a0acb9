import { cholesky, relativeTolerance } from '../cholesky';
import type { Design } from '../cells';

/** Columns of a design as a regression uses them: an intercept first, the others centred and scaled, those that are combinations left out. */
export interface Regressors {
  readonly names: readonly string[];
  /** Columns of the design that are used, ascending; column 1 + i of `x` is `kept[i]`. */
  readonly kept: Int32Array;
  /** Patterns × (1 + kept). */
  readonly x: Float64Array;
  readonly width: number;
  readonly centre: Float64Array; // of the kept columns: mean over procedures
  readonly scale: Float64Array; // their standard deviation
}

/** `weight`: procedures of each pattern. Throws a RangeError where a value is not finite or the shapes do not fit. */
export function regressors({ names, values }: Pick<Design, 'names' | 'values'>, weight: Float64Array): Regressors {
  const columns = names.length, patterns = weight.length;
  if (values.length !== patterns * columns) throw new RangeError(`values must have ${patterns} rows of ${columns}: ${values.length} values`);
  values.forEach((v, k) => {
    if (!Number.isFinite(v)) throw new RangeError(`pattern ${Math.floor(k / columns)}: ${names[k % columns]!} must be finite: ${v}`);
  });
  const total = weight.reduce((sum, w) => sum + w, 0);
  const moments = Array.from(names.keys(), (j) => {
    const mean = weight.reduce((sum, w, p) => sum + w * values[p * columns + j]!, 0) / total;
    const variance = weight.reduce((sum, w, p) => sum + w * (values[p * columns + j]! - mean) ** 2, 0) / total;
    return { mean, deviation: variance > 1e-20 * mean * mean ? Math.sqrt(variance) : 0 };
  });
  const standardised = new Float64Array(patterns * columns), cross = new Float64Array(columns * columns);
  moments.forEach(({ mean, deviation }, j) => {
    if (deviation > 0) for (let k = j; k < standardised.length; k += columns) standardised[k] = (values[k]! - mean) / deviation;
  });
  weight.forEach((w, p) => {
    if (!(w > 0)) return;
    const row = p * columns;
    for (let i = 0; i < columns; ++i) for (let j = 0; j < columns; ++j) cross[i * columns + j]! += w * standardised[row + i]! * standardised[row + j]!;
  });
  const { pivot } = cholesky(cross, columns, relativeTolerance(cross, columns, 1e-10));
  const kept = Int32Array.from(names.keys()).filter((j) => pivot[j]! > 0), width = 1 + kept.length;
  const x = new Float64Array(patterns * width);
  for (let p = 0; p < patterns; ++p) {
    x[p * width] = 1;
    kept.forEach((j, i) => { x[p * width + 1 + i] = standardised[p * columns + j]!; });
  }
  return { names, kept, x, width, centre: Float64Array.from(kept, (j) => moments[j]!.mean), scale: Float64Array.from(kept, (j) => moments[j]!.deviation) };
}
