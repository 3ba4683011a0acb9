import { membershipSums } from './lingering';
import type { CoxState } from './partialLikelihood';

/**
 * Score residuals of one procedure of each cell, cells × columns, on the scaled covariates; counted by cell they sum to the score.
 * Members of a tied set carry Efron's reduced weights here too: Therneau & Grambsch 2000, Modeling Survival Data, §4.2 and appendix E.
 */
export function scoreResiduals({ model, sums: { relativeHazard, s1, e1 }, ties }: CoxState): Float64Array {
  const { cells: { event }, design: { pattern }, sets, columns, x, lingering } = model, width = columns + 1;
  const increments = new Float64Array(sets.time.length * width); // Σ mean/φ of each column, and Σ 1/φ last
  for (let k = 0; k < sets.time.length; ++k) {
    const square = ties.square[k]!, squareSpared = ties.squareSpared[k]!;
    for (let j = 0; j < columns; ++j) increments[k * width + j] = square * s1[k * columns + j]! - squareSpared * e1[k * columns + j]!;
    increments[k * width + columns] = ties.hazard[k]!;
  }
  const { sums, row: sumOf } = membershipSums(increments, width, sets, lingering), result = new Float64Array(event.length * columns);
  for (let i = 0; i < event.length; ++i) {
    const at = sumOf[i]! * width, row = pattern[i]! * columns, hazard = sums[at + columns]!, weight = relativeHazard[pattern[i]!]!;
    for (let j = 0; j < columns; ++j) result[i * columns + j] = -weight * (x[row + j]! * hazard - sums[at + j]!);
    if (event[i] !== 1) continue;
    const k = sets.last[i]!, d = sets.events[k]!, spared = ties.spared[k]!, squareSpared = ties.squareSpared[k]!, squareSparedTwice = ties.squareSparedTwice[k]!;
    for (let j = 0; j < columns; ++j) {
      const value = x[row + j]!, s = s1[k * columns + j]!, e = e1[k * columns + j]!;
      const mean = (ties.hazard[k]! * s - spared * e) / d; // over the d denominators
      result[i * columns + j]! += value - mean + weight * (value * spared - (squareSpared * s - squareSparedTwice * e));
    }
  }
  return result;
}

/** Martingale residuals, events minus expected events, of one procedure of each cell. */
export function martingaleResiduals({ model, sums: { relativeHazard }, ties }: CoxState): Float64Array {
  const { cells: { event }, design: { pattern }, sets, lingering } = model;
  const { sums, row } = membershipSums(ties.hazard, 1, sets, lingering);
  return Float64Array.from(event, (e, i) => {
    const had = e === 1 ? 1 : 0;
    return had - relativeHazard[pattern[i]!]! * (sums[row[i]!]! - (had === 1 ? ties.spared[sets.last[i]!]! : 0));
  });
}
