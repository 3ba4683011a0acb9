import type { Cells } from './cells';

/** The cells at `indexes`, in that order. */
export function subset(cells: Cells, indexes: Int32Array): Cells {
  const { entry, stratum, cluster } = cells;
  return {
    exit: Float64Array.from(indexes, (i) => cells.exit[i]!),
    event: Uint8Array.from(indexes, (i) => cells.event[i]!),
    count: Float64Array.from(indexes, (i) => cells.count[i]!),
    ...(entry && { entry: Float64Array.from(indexes, (i) => entry[i]!) }),
    ...(stratum && { stratum: Int32Array.from(indexes, (i) => stratum[i]!) }),
    ...(cluster && { cluster: Int32Array.from(indexes, (i) => cluster[i]!) }),
  };
}

/** Indexes of the cells of each group 0 … `groups` − 1, in order; `group` has an entry per cell, a negative one belongs to no group. */
export function indexesByGroup(group: Int32Array, groups: number): Int32Array[] {
  const size = new Int32Array(groups);
  for (const g of group) if (g >= 0) ++size[g]!;
  const indexes = Array.from(size, (n) => new Int32Array(n));
  const next = new Int32Array(groups);
  group.forEach((g, i) => { if (g >= 0) indexes[g]![next[g]!++] = i; });
  return indexes;
}
