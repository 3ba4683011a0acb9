import { generalisedEigen } from '../generalisedEigen';

export interface Boundless {
  /** The least ratio of information here to information in the null model, over all directions. */
  readonly smallest: number;
  /** Some ratio is neither that of a direction with a maximum nor that of one without. */
  readonly undecided: boolean;
  /** Columns that take part in a direction without a maximum. */
  readonly columns: ReadonlySet<number>;
  /** Covariance from the directions with a maximum, where there are others; else null. */
  readonly covariance: Float64Array | null;
}

const none = 1e-7, some = 1e-5;

/** Directions in which next to nothing is left of the null model's information, among the columns kept. */
export function boundlessDirections(information: Float64Array, start: Float64Array, columns: number, keeps: (column: number) => boolean): Boundless {
  const kept = Array.from({ length: columns }, (_, j) => j).filter(keeps), order = kept.length;
  const part = (m: Float64Array) => Float64Array.from({ length: order * order }, (_, k) => m[kept[Math.floor(k / order)]! * columns + kept[k % order]!]!);
  const directions = generalisedEigen(part(information), part(start), order);
  const boundless = directions.filter(({ value }) => value < none);
  const involved = new Set<number>();
  for (const { vector } of boundless) {
    const most = vector.reduce((m, v) => Math.max(m, Math.abs(v)), 0);
    vector.forEach((v, i) => { if (Math.abs(v) > 1e-4 * most) involved.add(kept[i]!); });
  }
  const covariance = new Float64Array(columns * columns);
  for (const { value, vector } of directions) {
    if (value < none) continue;
    vector.forEach((a, i) => { vector.forEach((b, j) => { covariance[kept[i]! * columns + kept[j]!]! += (a * b) / value; }); });
  }
  return {
    smallest: directions.reduce((least, { value }) => Math.min(least, value), Infinity),
    undecided: directions.some(({ value }) => value >= none && value < some),
    columns: involved,
    covariance: boundless.length > 0 ? covariance : null,
  };
}
