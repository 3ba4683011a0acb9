import { membershipSums } from './lingering';
import type { CoxState } from './partialLikelihood';

/**
 * Score residuals of one procedure of each cell, cells × columns, on the scaled covariates; counted by cell they sum to the score.
 * Members of a tied set carry Efron's reduced weights here too: Therneau & Grambsch 2000, Modeling Survival Data, §4.2 and appendix E.
 */
export function scoreResiduals(state: CoxState, into?: Float64Array): Float64Array {
  const { model: { cells: { event }, design: { pattern }, sets, columns, x, lingering }, sums: { relativeHazard, s1, e1 }, ties } = state, width = columns + 1;
  const increments = new Float64Array(sets.time.length * width); // Σ mean/φ of each column, and Σ 1/φ last
  fillIncrements(increments, columns, s1, e1, ties.hazard, ties.square, ties.squareSpared);
  const { sums, row } = membershipSums(increments, width, sets, lingering), result = into ?? new Float64Array(event.length * columns);
  takeExpected(result, columns, x, pattern, relativeHazard, sums, row);
  for (let i = 0; i < event.length; ++i) if (event[i] === 1) addOwn(result, i, state);
  return result;
}

function fillIncrements(increments: Float64Array, columns: number, s1: Float64Array, e1: Float64Array, hazard: Float64Array, square: Float64Array, squareSpared: Float64Array): void {
  for (let k = 0, at = 0, to = 0; k < hazard.length; ++k) {
    for (let j = 0; j < columns; ++j, ++at, ++to) increments[to] = square[k]! * s1[at]! - squareSpared[k]! * e1[at]!;
    increments[to++] = hazard[k]!;
  }
}

/** What is expected of each cell's procedures in the sets that they are members of. */
function takeExpected(result: Float64Array, columns: number, x: Float64Array, pattern: Int32Array, relativeHazard: Float64Array, sums: Float64Array, row: Int32Array): void {
  for (let i = 0, to = 0; i < row.length; ++i) {
    const p = pattern[i]!, from = row[i]! * (columns + 1), hazard = sums[from + columns]!, weight = relativeHazard[p]!;
    for (let j = 0, at = p * columns; j < columns; ++j, ++at, ++to) result[to] = -weight * (x[at]! * hazard - sums[from + j]!);
  }
}

/** What the event of cell i adds. */
function addOwn(result: Float64Array, i: number, { model: { design: { pattern }, sets, columns, x }, sums: { relativeHazard, s1, e1 }, ties }: CoxState): void {
  const p = pattern[i]!, weight = relativeHazard[p]!, k = sets.last[i]!, d = sets.events[k]!;
  const hazard = ties.hazard[k]!, spared = ties.spared[k]!, squareSpared = ties.squareSpared[k]!, squareSparedTwice = ties.squareSparedTwice[k]!;
  for (let j = 0; j < columns; ++j) {
    const value = x[p * columns + j]!, s = s1[k * columns + j]!, e = e1[k * columns + j]!;
    const mean = (hazard * s - spared * e) / d; // over the d denominators
    result[i * columns + j]! += value - mean + weight * (value * spared - (squareSpared * s - squareSparedTwice * e));
  }
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
