import { overMembership } from './lingering';
import type { CoxState } from './partialLikelihood';

/**
 * Score residuals of one procedure of each cell, cells × columns, on the scaled covariates; counted by cell they sum to the score.
 * Members of a tied set carry Efron's reduced weights here too: Therneau & Grambsch 2000, Modeling Survival Data, §4.2 and appendix E.
 */
export function scoreResiduals({ model, sums: { relativeHazard, s1, e1 }, ties }: CoxState): Float64Array {
  const { cells: { event }, design: { pattern }, sets, columns, x, lingering } = model;
  const size = event.length, result = new Float64Array(size * columns);
  const hazard = overMembership(Float64Array.from(ties, (t) => t.hazard), sets, lingering);
  for (let j = 0; j < columns; ++j) {
    // Σ mean/φ, Σ f·mean/φ and the mean over the d denominators of the risk-set mean of column j
    const at = (k: number): number => k * columns + j;
    const drift = overMembership(Float64Array.from(ties, (t, k) => t.square * s1[at(k)]! - t.squareSpared * e1[at(k)]!), sets, lingering);
    for (let i = 0; i < size; ++i) {
      const p = pattern[i]!, value = x[p * columns + j]!;
      let expected = value * hazard[i]! - drift[i]!, observed = 0;
      if (event[i] === 1) {
        const last = sets.last[i]!, t = ties[last]!;
        expected -= value * t.spared - (t.squareSpared * s1[at(last)]! - t.squareSparedTwice * e1[at(last)]!);
        observed = value - (t.hazard * s1[at(last)]! - t.spared * e1[at(last)]!) / sets.events[last]!;
      }
      result[i * columns + j] = observed - relativeHazard[p]! * expected;
    }
  }
  return result;
}

/** Martingale residuals, events minus expected events, of one procedure of each cell. */
export function martingaleResiduals({ model, sums: { relativeHazard }, ties }: CoxState): Float64Array {
  const { cells: { event }, design: { pattern }, sets, lingering } = model;
  const hazard = overMembership(Float64Array.from(ties, (t) => t.hazard), sets, lingering);
  return Float64Array.from(event, (e, i) => {
    const had = e === 1 ? 1 : 0;
    return had - relativeHazard[pattern[i]!]! * (hazard[i]! - (had === 1 ? ties[sets.last[i]!]!.spared : 0));
  });
}
