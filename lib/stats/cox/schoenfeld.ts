import type { CoxFit } from './cox';

/** One entry per cell with the event: `count` procedures share it. */
export interface SchoenfeldResiduals {
  readonly cell: Int32Array;
  readonly time: Float64Array;
  readonly count: Float64Array;
  /** Covariate less its mean in the risk set, entries × columns, on the scale of the design. */
  readonly residual: Float64Array;
  /** β̂ + D V s with D events and V the covariance: around the coefficient as it may drift with time. NaN where not estimable. */
  readonly scaled: Float64Array;
}

/**
 * Tied events have the mean over Efron's denominators.
 * Schoenfeld 1982, Biometrika 69:239; scaled as in Grambsch & Therneau 1994, Biometrika 81:515.
 */
export function schoenfeldResiduals(fit: CoxFit): SchoenfeldResiduals {
  const { model, sums: { s1, e1 }, ties } = fit.state;
  const { cells, design: { pattern }, sets, columns, x, scale } = model;
  const cell = Int32Array.from(cells.event.keys()).filter((i) => cells.event[i] === 1);
  const naive = fit.maximum.covariance;
  const residual = new Float64Array(cell.length * columns), scaled = new Float64Array(cell.length * columns);
  cell.forEach((i, row) => {
    const k = sets.last[i]!, hazard = ties.hazard[k]!, spared = ties.spared[k]!;
    const s = Float64Array.from({ length: columns }, (_, j) => {
      const at = k * columns + j;
      return x[pattern[i]! * columns + j]! - (hazard * s1[at]! - spared * e1[at]!) / sets.events[k]!;
    });
    for (let j = 0; j < columns; ++j) {
      residual[row * columns + j] = s[j]! * scale[j]!;
      const spread = s.reduce((sum, v, m) => sum + v * naive[m * columns + j]!, 0);
      scaled[row * columns + j] = fit.coefficient[j]! + (fit.events * spread) / scale[j]!;
    }
  });
  return { cell, time: Float64Array.from(cell, (i) => cells.exit[i]!), count: Float64Array.from(cell, (i) => cells.count[i]!), residual, scaled };
}
