import { isSmallCount } from './countTable';
import type { Policy, Rounding } from './policy';

/** A table or figure that left: of which kind, of whom, and the counts that it told. */
export interface Left {
  readonly kind: string; // the same table of the same data
  readonly title: string;
  readonly asked: string; // the question and its settings
  readonly rounding: Rounding;
  readonly told: ReadonlyMap<string, number>; // by row and column
}

/** Counts by which one that is about to leave differs a little from one that has left. */
export interface LittleDifference { readonly from: Left; readonly where: readonly string[] }

/**
 * Where subtracting one table from another would tell of few people. Two tables are compared where one can be of a part of the other's people:
 * no count of the part is larger. What is subtracted then is a table of the rest, and no count of that may be small either (Hundepool et al. 2012,
 * Statistical Disclosure Control, on differencing and linked tables).
 */
export function littleDifferences(before: readonly Left[], next: Left, { smallest }: Pick<Policy, 'smallest'>): readonly LittleDifference[] {
  return before.flatMap((from): LittleDifference[] => {
    if (from.kind !== next.kind || (from.asked === next.asked && from.rounding !== next.rounding)) return [];
    const shared = [...next.told].flatMap(([key, count]) => { const earlier = from.told.get(key); return earlier === undefined ? [] : [{ key, by: count - earlier }]; });
    if (shared.some(({ by }) => by > 0) && shared.some(({ by }) => by < 0)) return []; // neither is a part of the other
    const blur = (from.rounding - 1) + (next.rounding - 1); // by so much more or less may a difference be
    const where = shared.filter(({ by }) => isSmallCount(Math.abs(by), smallest) && blur < smallest).map(({ key }) => key);
    return where.length === 0 ? [] : [{ from, where }];
  });
}
