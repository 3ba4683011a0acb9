import type { ComparedGroup } from '../cohort/comparison';
import { componentLabel } from '../cohort/labels';
import { outcomeGap, outcomeGapsCode } from '../cohort/outcomeGaps';
import type { Fragment } from '../cohort/sql';
import type { Question } from '../contract/question';
import type { Database } from '../engine/database';
import type { CalendarOverlap } from './result';
import { cohortRows, type Levels } from './rows/cohortRows';
import { crossTable } from './rows/crossTable';

/** Pairs with the reference that were never used in the same calendar year: period and group cannot be told apart. */
export function neverTogether(groups: readonly ComparedGroup[], reference: string, { counts }: CalendarOverlap): readonly string[] {
  const against = groups.findIndex((group) => group.key === reference);
  return groups.flatMap(({ label }, g) => {
    const together = counts[g]!.some((n, year) => n > 0 && counts[against]![year]! > 0);
    return g === against || together
      ? [] : [`${label} and ${groups[against]!.label} were never used in the same year: their difference cannot be told from a change over time.`];
  });
}

/**
 * What the chosen outcome does with revisions of which its criterion is not recorded.
 * @param factor whatever the cohort is asked for by, so that it is not looked for again
 */
export async function outcomeGaps(
  database: Database, conditions: readonly Fragment[], { outcome, cohort: { role } }: Question, factor: Levels | null = null,
): Promise<readonly string[]> {
  const oneKind = new Set(outcome.kinds).size < 2;
  if (outcome.reasons.length === 0 && !outcome.ofRoleOnly && !oneKind) return [];
  const { values, total } = await crossTable(await cohortRows(database, conditions, factor), { sql: outcomeGapsCode, params: [] });
  const lacking = (gap: number): number => values.reduce((sum, gaps, place) => ((gaps & gap) > 0 ? sum + total(place) : sum), 0);
  const noKind = lacking(outcomeGap.kind), noReason = lacking(outcomeGap.reason), noneRemoved = lacking(outcomeGap.removed);
  return [
    ...(oneKind && noKind > 0 ? [`Revisions of which it is not recorded which kind of component was changed, counted as other revisions: ${noKind}.`] : []),
    ...(outcome.reasons.length > 0 && noReason > 0 ? [`Revisions without a recorded reason, counted as being for other reasons: ${noReason}.`] : []),
    ...(outcome.ofRoleOnly && noneRemoved > 0
      ? [`Revisions with no component recorded as removed, counted as not being of the ${componentLabel(role)}: ${noneRemoved}.`] : []),
  ];
}
