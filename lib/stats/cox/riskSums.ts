import { addExactly, addRowExactly, exactSums } from '../exactSums';
import type { CoxModel } from './coxModel';
import type { Lingering } from './lingering';
import { membersByPattern, type CellsOfPatterns, type SparseCovariates } from './membersByPattern';

/** Weighted sums over each risk set at one coefficient vector; the weight of a procedure is its relative hazard e^(x′β). */
export interface RiskSums {
  /** x′β and e^(x′β) of each pattern. */
  readonly linear: Float64Array;
  readonly relativeHazard: Float64Array;
  /** Σ weight over the members of each set, and Σ weight · x (sets × columns). */
  readonly s0: Float64Array;
  readonly s1: Float64Array;
  /** The same over the events of each set alone. */
  readonly e0: Float64Array;
  readonly e1: Float64Array;
}

/**
 * Members are added pattern by pattern to the set of their exit, and summed from late to early times; with delayed entry they are
 * taken away again before their first set. One pass back for those that linger.
 */
export function riskSums(model: CoxModel, beta: Float64Array): RiskSums {
  const { cells, design: { pattern }, sets, columns, patterns, x } = model;
  const linear = new Float64Array(patterns);
  for (let p = 0; p < patterns; ++p) for (let j = 0; j < columns; ++j) linear[p]! += x[p * columns + j]! * beta[j]!;
  const relativeHazard = linear.map(Math.exp);

  const size = sets.time.length, width = columns + 1;
  const s0 = new Float64Array(size), s1 = new Float64Array(size * columns), e0 = new Float64Array(size), e1 = new Float64Array(size * columns);
  const { fromStart, withEvent, covariates } = membersByPattern(model), { usual } = covariates, { entering, stratum } = sets;
  const joining = addedWeights(fromStart, covariates, relativeHazard, s0), having = addedWeights(withEvent, covariates, relativeHazard, e0);
  for (let k = size - 1; k > 0; --k) if (stratum[k] === stratum[k - 1]) s0[k - 1]! += s0[k]!;
  for (let j = 0; j < columns; ++j) {
    for (let k = size - 1, running = 0; k >= 0; --k) { // of weight · (x − usual x)
      running = (stratum[k] === stratum[k + 1] ? running : 0) + joining[j * size + k]!;
      s1[k * columns + j] = running + usual[j]! * s0[k]!;
      e1[k * columns + j] = having[j * size + k]! + usual[j]! * e0[k]!;
    }
  }
  if (entering.cells.length > 0) enterLate();
  if (model.lingering) linger(model.lingering);
  return { linear, relativeHazard, s0, s1, e0, e1 };

  /** They join at their last set and are taken away before their first. */
  function enterLate(): void {
    const { start: from, column, value } = covariates, late = exactSums(size * width);
    for (const i of entering.cells) {
      const p = pattern[i]!, w = cells.count[i]! * relativeHazard[p]!, last = sets.last[i]! * width, before = (sets.first[i]! - 1) * width;
      addExactly(late, last + columns, w);
      addExactly(late, before + columns, -w);
      for (let z = from[p]!; z < from[p + 1]!; ++z) {
        addExactly(late, last + column[z]!, w * value[z]!);
        addExactly(late, before + column[z]!, -w * value[z]!);
      }
    }
    for (let k = size - 1; k >= 0; --k) {
      if (stratum[k] === stratum[k + 1]) addRowExactly(late, width, k + 1, k);
      const at = k * width, weight = late.high[at + columns]! + late.low[at + columns]!;
      s0[k]! += weight;
      for (let j = 0; j < columns; ++j) s1[k * columns + j]! += late.high[at + j]! + late.low[at + j]! + usual[j]! * weight;
    }
  }

  /** From early to late times: those that linger join after their exit, and all of one group shrink alike from set to set. */
  function linger({ cell, from, share, group, remaining }: Lingering): void {
    const width = columns + 1, lingering = new Float64Array(remaining.length * width);
    for (let k = 0, m = 0; k < size; ++k) {
      if (stratum[k] !== stratum[k - 1]) lingering.fill(0);
      for (; from[m] === k; ++m) {
        const i = cell[m]!, p = pattern[i]!, at = group[m]! * width, w = share[m]! * cells.count[i]! * relativeHazard[p]!;
        for (let j = 0; j < columns; ++j) lingering[at + j]! += w * x[p * columns + j]!;
        lingering[at + columns]! += w;
      }
      remaining.forEach((weight, g) => {
        for (let j = 0; j < columns; ++j) s1[k * columns + j]! += weight[k]! * lingering[g * width + j]!;
        s0[k]! += weight[k]! * lingering[g * width + columns]!;
      });
    }
  }
}

/** Adds the weight of the cells at their sets; returns their weight · (x − usual x), columns × sets, so that what one loop writes is near together. */
function addedWeights({ start, set, count }: CellsOfPatterns, covariates: SparseCovariates, relativeHazard: Float64Array, sums: Float64Array): Float64Array {
  const { start: from, column, value, usual } = covariates, size = sums.length, products = new Float64Array(usual.length * size);
  for (let p = 0; p < relativeHazard.length; ++p) {
    const weight = relativeHazard[p]!, first = start[p]!, end = start[p + 1]!;
    for (let b = first; b < end; ++b) sums[set[b]!]! += weight * count[b]!;
    for (let z = from[p]!; z < from[p + 1]!; ++z) {
      const row = column[z]! * size, product = weight * value[z]!;
      for (let b = first; b < end; ++b) products[row + set[b]!]! += product * count[b]!;
    }
  }
  return products;
}
