import { comparedConditions, comparisonFactor } from '../cohort/comparison';
import { cohortConditions } from '../cohort/conditions';
import { codings, strataFactor } from '../cohort/covariate';
import type { Question } from '../contract/question';
import type { LoadedExtract } from '../engine/loadedExtract';
import { indexesByGroup, subset } from '../stats/subset';
import { atTime } from './atTime';
import { attrition } from './attrition';
import { calendarOverlap } from './calendar';
import { caseMix } from './caseMix';
import { neverTogether, outcomeGaps } from './cautions';
import { cohortCells } from './cohortCells';
import { compareGroups } from './compareGroups';
import { curveOf } from './curve';
import { groupOf, usersOfGroups } from './groupSummaries';
import { chooseGroups } from './groups';
import { groupSurvival } from './groupSurvival';
import { medianFollowUps } from './medianFollowUps';
import { rateOf } from './rate';
import type { Analysis, NothingToShow } from './result';
import { riskTable } from './riskTable';

export interface AnalysisProgress {
  readonly label: string; // what is being done, in plain words
  readonly fraction: number; // 0–1 of the whole
}

export interface AnalysisOptions {
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: AnalysisProgress) => void;
}

/**
 * Answers a question from an extract. All follow-up is censored at the horizon, except for the median follow-up; the stop rule binds
 * curves and the numbers at single times. Throws the signal's reason when aborted.
 */
export async function analyse(
  { database, source }: LoadedExtract, question: Question, { signal, onProgress }: AnalysisOptions = {},
): Promise<Analysis | NothingToShow> {
  const step = async (label: string, fraction: number): Promise<void> => {
    onProgress?.({ label, fraction });
    await new Promise((resolve) => setTimeout(resolve)); // lets a worker hear of a newer question
    signal?.throwIfAborted();
  };
  const { horizonYears, confidence, adjust, strata } = question;
  const factor = comparisonFactor(question);
  const inCohort = cohortConditions(question.cohort, horizonYears);

  await step('Finding the groups', 0);
  const { groups, reference, notes } = await chooseGroups(database, inCohort, factor, question);
  if (groups.length === 0) {
    const steps = await attrition(database, inCohort);
    const reason = steps.at(-1)!.remaining === 0
      ? 'No procedure of the extract meets these conditions.'
      : `No procedure of the cohort is in a group to compare. ${notes.join(' ')}`.trim();
    return { status: 'empty', reason, attrition: steps };
  }
  const conditions = [...inCohort, ...comparedConditions(factor, groups)];

  await step('Counting who is in the cohort', 0.1);
  const steps = await attrition(database, conditions);
  const users = await usersOfGroups(database, conditions, factor, groups);
  await step('Setting the case mix side by side', 0.3);
  const mix = await caseMix(database, conditions, factor, groups, question);
  const calendar = await calendarOverlap(database, conditions, factor, groups);
  const gaps = await outcomeGaps(database, conditions, question);

  await step('Counting follow-up', 0.5);
  const adjusting = [...new Set(adjust)].map((covariate) => ({ covariate, coding: codings[covariate] }));
  const stratifying = [...new Set(strata)].map(strataFactor);
  const { cohort, codes } = await cohortCells(database, conditions, factor, groups, [...adjusting.map((a) => a.coding), ...stratifying], question);
  const medians = await medianFollowUps(database, conditions, factor, groups);

  await step('Estimating curves', 0.8);
  const survival = groupSurvival(cohort.cells, cohort.group, groups.map((group) => group.key), question);
  const cellsOfGroup = indexesByGroup(cohort.group, groups.length).map((indexes) => subset(cohort.cells, indexes));
  const rates = groups.map(({ key }, g) => rateOf(key, cellsOfGroup[g]!, confidence));
  await step('Comparing the groups', 0.85);
  const adjustments = adjusting.map((a, f) => ({ ...a, codes: codes[f]! }));
  const stratifications = stratifying.map(({ label }, f) => ({ label, codes: codes[adjusting.length + f]! }));
  const compared = await compareGroups(cohort, groups, reference, adjustments, stratifications, question, step);
  return {
    status: 'ok',
    question,
    source,
    notes: [...notes, ...neverTogether(groups, reference, calendar), ...gaps],
    attrition: steps,
    groups: groups.map((group, g) => groupOf(group, users[g]!, rates[g]!, cellsOfGroup[g]!, medians[g]!)),
    reference,
    caseMix: mix,
    calendar,
    curves: survival.map((group) => curveOf(group, question)),
    atTimes: question.atYears.flatMap((years) => survival.map((group) => atTime(group, years, question))),
    riskTable: riskTable(survival, horizonYears),
    rates,
    ...compared,
  };
}
