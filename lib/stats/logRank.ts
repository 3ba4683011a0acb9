import type { Cells, NotEstimable } from './cells';
import { cholesky, quadraticForm, relativeTolerance } from './cholesky';
import { chiSquareUpperTail } from './distributions/chiSquare';
import { leaving, riskSets, type RiskSets } from './riskSets';

export interface LogRank {
  readonly status: 'ok';
  readonly chisq: number;
  /** Groups at risk at some event, less one. */
  readonly df: number;
  readonly p: number;
  /** Events of interest in each group, and those expected were the hazards equal. */
  readonly observed: Float64Array;
  readonly expected: Float64Array;
  /** Variance of observed − expected, groups × groups. */
  readonly variance: Float64Array;
}

/**
 * The log-rank test of equal hazards in `groups` groups, summed over strata; a risk set has those with entry < t ≤ exit.
 * `group` has an entry per cell, 0 … groups − 1. Hypergeometric variance.
 * Mantel 1966, Cancer Chemother Rep 50:163; Kalbfleisch & Prentice 2002, §1.5.
 */
export function logRank(cells: Cells, group: Int32Array, groups: number): LogRank | NotEstimable {
  const sets = riskSets(cells);
  if (sets.time.length === 0) return { status: 'notEstimable', reason: 'no revisions' };
  const { observed, expected, variance } = moments(cells, sets, group, groups);
  const compared = Array.from(expected.keys()).filter((g) => expected[g]! > 0);
  if (compared.length < 2) return { status: 'notEstimable', reason: 'at every revision only one group was at risk' };
  const free = compared.slice(1), order = free.length;
  const difference = Float64Array.from(free, (g) => observed[g]! - expected[g]!);
  const matrix = Float64Array.from({ length: order * order }, (_, k) => variance[free[Math.floor(k / order)]! * groups + free[k % order]!]!);
  const factor = cholesky(matrix, order, relativeTolerance(matrix, order));
  if (factor.rank < order) return { status: 'notEstimable', reason: 'some groups were never at risk at the same time as others' };
  const chisq = quadraticForm(factor, difference);
  return { status: 'ok', chisq, df: order, p: chiSquareUpperTail(chisq, order), observed, expected, variance };
}

function moments(cells: Cells, sets: RiskSets, group: Int32Array, groups: number) {
  const observed = new Float64Array(groups), expected = new Float64Array(groups), variance = new Float64Array(groups * groups);
  const atRisk = new Float64Array(groups);
  const { entering, stratum, events } = sets, leavers = leaving(sets);
  for (let k = events.length - 1; k >= 0; --k) {
    if (stratum[k] !== stratum[k + 1]) atRisk.fill(0);
    else {
      for (let b = entering.start[k + 1]!; b < entering.start[k + 2]!; ++b) {
        const i = entering.cells[b]!;
        atRisk[group[i]!]! -= cells.count[i]!;
      }
    }
    for (let b = leavers.start[k]!; b < leavers.start[k + 1]!; ++b) {
      const i = leavers.cells[b]!, g = group[i]!;
      atRisk[g]! += cells.count[i]!;
      if (cells.event[i] === 1) observed[g]! += cells.count[i]!;
    }
    const d = events[k]!, n = atRisk.reduce((sum, m) => sum + m, 0);
    const spread = n > 1 ? (d * (n - d)) / (n - 1) : 0; // a sole member of a risk set tells nothing
    for (let g = 0; g < groups; ++g) {
      const share = atRisk[g]! / n;
      expected[g]! += d * share;
      variance[g * groups + g]! += (spread * share * (n - atRisk[g]!)) / n; // exactly 0 where nobody else is at risk
      for (let h = 0; h < groups; ++h) if (h !== g) variance[g * groups + h]! -= (spread * share * atRisk[h]!) / n;
    }
  }
  return { observed, expected, variance };
}
