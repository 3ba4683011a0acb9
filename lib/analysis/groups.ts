import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import type { Fragment } from '../cohort/sql';
import { othersKey, type Question } from '../contract/question';
import type { Database } from '../engine/database';
import { levelSizes } from './rows/levelSizes';

const mostGroups = 8;

/** The groups that take part, in the order they are shown, and what is to be said about those that do not. */
export interface ChosenGroups {
  readonly groups: readonly ComparedGroup[];
  readonly reference: string;
  readonly notes: readonly string[];
}

/**
 * The groups that the question names, in its order, all others last where it wants them, or else the largest eight; a group without
 * procedures is left out. The reference is the one named, or else all others, or the largest: the contrasts with it have the smallest standard errors.
 */
export async function chooseGroups(
  database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, question: Question,
): Promise<ChosenGroups> {
  return chosenFrom(await levelSizes(database, conditions, factor), factor, question);
}

/** The same from the levels with procedures, largest first, those of one size in the order of their keys. */
export function chosenFrom(
  known: readonly { readonly code: number; readonly key: string; readonly procedures: number }[], factor: Pick<ComparisonFactor, 'labelOf'>, question: Question,
): ChosenGroups {
  const levels = known.map((level) => ({ ...level, label: factor.labelOf(level.key) }));
  const named = [...new Set([...question.groups, ...(question.withOthers ? [othersKey] : [])])];
  const chosen = named.length > 0
    ? named.flatMap((key) => levels.filter((level) => level.key === key))
    : levels.slice(0, mostGroups);
  const notes = named.filter((key) => !levels.some((level) => level.key === key))
    .map((key) => `${factor.labelOf(key)} is not shown: no procedure of the cohort is in this group.`);
  const others = named.length > 0 ? [] : levels.slice(mostGroups);
  if (others.length > 0) {
    const procedures = others.reduce((sum, level) => sum + level.procedures, 0);
    notes.push(`The ${mostGroups} largest groups are shown; ${others.length} more with ${procedures} procedures together are not.`);
  }
  const largest = chosen.reduce<(typeof chosen)[number] | undefined>((most, level) => (level.procedures > (most?.procedures ?? 0) ? level : most), undefined);
  const asked = question.reference ?? (question.withOthers ? othersKey : null);
  const found = chosen.find((level) => level.key === asked);
  if (asked !== null && found === undefined && largest !== undefined) {
    notes.push(`${factor.labelOf(asked)} cannot be the reference: it is not among the groups compared. ${largest.label} is.`);
  }
  return { groups: chosen.map(({ code, key, label }) => ({ code, key, label })), reference: (found ?? largest)?.key ?? '', notes };
}
