import { addExactly, addRowExactly, clear, exactSums } from '../exactSums';
import { singleCounts, type CountsBySet, type SingleCounts } from './countsBySet';
import type { CoxModel } from './coxModel';
import { overLateEntries } from './lingering';
import type { SparseCovariates } from './sparseCovariates';

/**
 * Numbers at risk from single cells, where patterns are many: members from the first set of their stratum on are added at their last set, and summed from late
 * to early times; with delayed entry they are taken away again before their first set.
 * @param fromStart those from the first set of their stratum on
 */
export function runningCounts({ cells: { count }, design: { pattern }, sets, columns }: CoxModel, fromStart: SingleCounts): CountsBySet {
  const { first, last, stratum, entering: { cells: late } } = sets, size = stratum.length, joining = singleCounts(fromStart, size);
  const lateSets = late.reduce((sum, i) => sum + last[i]! + 1 - first[i]!, 0), length = (1 + columns) * size;
  const exact = lateSets < length ? null : exactSums(length); // in small strata few sums are added to, and they need not be run over
  return {
    overPatterns(weight, covariates, given) {
      const sums = joining.overPatterns(weight, covariates, given);
      for (let from = 0; from < length; from += size) runBack(sums, from, stratum);
      if (late.length > 0) addLate(sums, weight, covariates);
      return sums;
    },
    overSets(value) {
      const running = value.slice();
      for (let k = 1; k < size; ++k) if (stratum[k] === stratum[k - 1]) running[k]! += running[k - 1]!;
      const sums = joining.overSets(running), ofLate = late.length > 0 ? overLateEntries(value, 1, sets) : value;
      for (let b = 0; b < late.length; ++b) sums[pattern[late[b]!]!]! += count[late[b]!]! * ofLate[b]!;
      return sums;
    },
  };

  function addLate(sums: Float64Array, weight: Float64Array, { start, column, value }: SparseCovariates): void {
    if (exact !== null) clear(exact);
    for (const i of late) {
      const p = pattern[i]!, w = count[i]! * weight[p]!;
      enter(i, 0, w);
      for (let z = start[p]!; z < start[p + 1]!; ++z) enter(i, (1 + column[z]!) * size, w * value[z]!);
    }
    if (exact === null) return;
    for (let from = 0; from < length; from += size) {
      for (let k = size - 2; k >= 0; --k) if (stratum[k] === stratum[k + 1]) addRowExactly(exact, 1, from + k + 1, from + k);
    }
    for (let at = 0; at < sums.length; ++at) sums[at]! += exact.high[at]! + exact.low[at]!;
    function enter(i: number, from: number, w: number): void {
      if (exact === null) {
        for (let k = from + first[i]!; k <= from + last[i]!; ++k) sums[k]! += w;
        return;
      }
      addExactly(exact, from + last[i]!, w);
      addExactly(exact, from + first[i]! - 1, -w);
    }
  }
}

/** From late to early times of each stratum. */
function runBack(sums: Float64Array, from: number, stratum: Int32Array): void {
  for (let k = stratum.length - 2; k >= 0; --k) if (stratum[k] === stratum[k + 1]) sums[from + k]! += sums[from + k + 1]!;
}
