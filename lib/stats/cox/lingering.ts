import { setSums, sumOver, type RiskSets } from '../riskSets';

/**
 * Cells that stay in the later risk sets of their stratum after their exit, as procedures with a competing event do in the model of Fine
 * and Gray. Every array but `remaining` has an entry per such cell, ascending by `from`.
 */
export interface Lingering {
  readonly cell: Int32Array;
  /** The sets in which it lingers. */
  readonly from: Int32Array;
  readonly to: Int32Array;
  /** Its weight in set k is share · remaining[group][k]. */
  readonly share: Float64Array;
  readonly group: Int32Array;
  /** Per group, an entry per set. */
  readonly remaining: readonly Float64Array[];
}

/** Per cell, the sum of `values` (an entry per set) over the sets it is a member of, those in which it lingers by its weight there. */
export function overMembership(values: Float64Array, sets: RiskSets, lingering: Lingering | null): Float64Array {
  const sums = setSums(values, sets);
  const result = Float64Array.from(sets.first, (first, i) => sumOver(sums, sets, first, sets.last[i]!));
  if (!lingering) return result;
  const { cell, from, to, share, group, remaining } = lingering;
  const weighted = remaining.map((weight) => setSums(values.map((v, k) => v * weight[k]!), sets));
  cell.forEach((i, m) => { result[i]! += share[m]! * sumOver(weighted[group[m]!]!, sets, from[m]!, to[m]!); });
  return result;
}
