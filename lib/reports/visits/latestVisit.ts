/** Fewer than these in a group say little; common practice, no source. */
export const enough = 20;

/** The visit that words speak of: the latest at which at least `enough` of each group were assessed, else the latest of all. */
export const latestTold = <V>(visits: readonly V[], assessed: (visit: V) => readonly number[]): V | undefined =>
  visits.filter((visit) => assessed(visit).every((n) => n >= enough)).at(-1) ?? visits.at(-1);
