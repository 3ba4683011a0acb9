/** Fewer than these in a group say little; common practice, no source. */
export const enough = 20;

/**
 * The visit that words speak of: the latest at which at least `enough` of each group were assessed, else the one that assessed most of its
 * smallest group. A group of which nobody ever is assessed, as reverse totals are not of the glenoid bone, has no say.
 */
export function latestTold<V>(visits: readonly V[], assessed: (visit: V) => readonly number[]): V | undefined {
  const counts = visits.map(assessed);
  const smallest = counts.map((of) => Math.min(...of.filter((_, group) => counts.some((at) => at[group]! > 0))));
  const latest = smallest.findLastIndex((n) => n >= enough);
  return visits[latest >= 0 ? latest : smallest.lastIndexOf(Math.max(...smallest))];
}
