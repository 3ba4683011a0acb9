import { askedCohort } from '../analysis/askedCohort';
import { levelsOf } from '../analysis/levels';
import type { NothingToShow } from '../analysis/result';
import { stepOf, type AnalysisOptions } from '../analysis/step';
import { daysOfYears } from '../cohort/days';
import type { Question } from '../contract/question';
import { RegistryCounts, type DayProtection } from '../contract/registryCounts';
import type { LoadedExtract } from '../engine/loadedExtract';
import { isSmallCount } from '../disclosure/countTable';
import { usualSmallest } from '../disclosure/policy';
import { coarseningEffect } from './coarseningEffect';
import { exactCells } from './exactCells';
import { protectedRegistry } from './protectedRegistry';
import { cellsIn, type ReducedRegistry } from './reducedRegistry';
import { fileHead, sealed } from './sealFile';

/** What may be told of days. `exact` is the choice of a person whose governance allows it. */
export type Days = { readonly days: 'exact' } | { readonly days: 'coarse'; readonly stepDays: number; readonly smallest: number };

export interface ReduceOptions extends AnalysisOptions {
  readonly days: Days;
  /** What the registry is to be called; default: as in its extract. */
  readonly name?: string | undefined;
}

/**
 * Reduces one registry to the file of counts that answers a question together with those of others. All groups that occur are in it, since which are
 * the largest is decided by all registries together. Throws the signal's reason when aborted.
 */
export async function reduceRegistry(extract: LoadedExtract, question: Question, options: ReduceOptions): Promise<RegistryCounts | NothingToShow> {
  const groups = question.groups.length > 0 ? question.groups : (await levelsOf(extract.database, question)).map(({ key }) => key);
  const asked = await askedCohort(extract, { ...question, groups, cluster: 'none' }, stepOf(options));
  if (asked.status === 'empty') return asked;
  const exact = exactCells(asked, question), { reduced, protection } = await underProtection(exact, question, options);
  return RegistryCounts.parse(await sealed({
    format: 'registry-counts', ...await fileHead(extract.source, question, options.name), protection, holds: whatItHolds(reduced, protection), ...reduced,
  }));
}

async function underProtection(exact: ReducedRegistry, question: Question, options: ReduceOptions): Promise<{ readonly reduced: ReducedRegistry; readonly protection: DayProtection }> {
  const { days } = options;
  if (days.days === 'exact') return { reduced: exact, protection: { days: 'exact', governanceAllows: true } };
  const { coarse, exact: same, kept } = protectedRegistry(exact, { ...days, horizonDays: daysOfYears(question.horizonYears) });
  return { reduced: coarse, protection: { ...days, ...kept, effect: await coarseningEffect(same, coarse, question, options) } };
}

/** For whoever decides whether the file may leave. */
function whatItHolds(reduced: ReducedRegistry, protection: DayProtection): readonly string[] {
  const cells = cellsIn(reduced), smallest = protection.days === 'exact' ? usualSmallest : protection.smallest;
  const single = cells.filter(({ count }) => count === 1).length, small = cells.filter(({ count }) => isSmallCount(count, smallest)).length;
  return [
    'Counts of procedures by group, pattern of covariates and strata, time at risk, and whether it ended in the event of interest. No identifier of a patient, hospital, surgeon or procedure.',
    protection.days === 'exact'
      ? `Days are exact. ${single} of ${cells.length} counts are 1 and ${small} are below ${smallest}: each 1 is the follow-up of one person, whom somebody who knows the day of a revision may recognise. It is to be treated as data of persons.`
      : `Days are in steps of at least ${protection.stepDays}, joined so that no count is from 1 to ${smallest - 1}, nor can one be computed from this file alone. Files for other questions about the same people tell more when they are held against it.`,
  ];
}
