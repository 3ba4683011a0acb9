import type { DayProtection } from '../contract/registryCounts';
import { isSmallCount } from '../disclosure/countTable';
import { coarseDays, type CoarseDays } from './coarseDays';
import { cellColumns, cellsIn, countsBy, narrowed, type ReducedRegistry } from './reducedRegistry';

export interface Protected {
  readonly coarse: ReducedRegistry;
  /** The same procedures, groups and factors with the days as recorded; stays at the registry. */
  readonly exact: ReducedRegistry;
  readonly kept: Pick<Extract<DayProtection, { days: 'coarse' }>, 'withheldGroups' | 'droppedFactors' | 'lateEntryLeftOut'>;
}

/**
 * No count from 1 to `smallest` − 1 is left, and none can be computed: whatever is told is a sum of larger ones. Procedures that came under
 * observation late are left out, which pattern they are of being known before any end. A group with too few of a kind of end is withheld
 * as a whole, since leaving out those with few revisions only would favour it. Of the factors the first ones of the question are kept, as many as
 * leave no pattern too small.
 */
export function protectedRegistry(all: ReducedRegistry, days: CoarseDays): Protected {
  const { smallest } = days, fromStart = cellsIn(all).filter(({ entry }) => entry < 0);
  const late = cellsIn(all).reduce((sum, { entry, count }) => (entry < 0 ? sum : sum + count), 0);
  const everyone = { ...all, cells: cellColumns(fromStart) };
  const groupsOnly = narrowed(everyone, 0, () => true);
  const withheldGroups = groupsOnly.groups.filter((_, g) => thin(groupsOnly, smallest).has(groupsOnly.patterns.group.indexOf(g)));
  const keeps = (key: string): boolean => !withheldGroups.includes(key), { factors } = all.patterns;
  const most = [...factors.keys(), factors.length].reverse().find((n) => thin(narrowed(everyone, n, keeps), smallest).size === 0) ?? 0;
  const exact = narrowed(everyone, most, keeps);
  return {
    exact, coarse: { ...exact, cells: coarseDays(exact, days) },
    kept: { withheldGroups, droppedFactors: factors.slice(most).map(({ name }) => name), lateEntryLeftOut: isSmallCount(late, smallest) ? null : late },
  };
}

/** Patterns of which a kind of end is too rare to be told. */
function thin(reduced: ReducedRegistry, smallest: number): ReadonlySet<number> {
  const counts = countsBy(reduced, reduced.patterns.group.length, ({ pattern }) => pattern);
  return new Set(counts.flatMap(({ procedures, events }, p) => (isSmallCount(events, smallest) || isSmallCount(procedures - events, smallest) ? [p] : [])));
}
