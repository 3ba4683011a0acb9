import type { Question } from '../contract/question';
import type { LoadedExtract } from '../engine/loadedExtract';
import { exposure } from '../stats/rates';
import { indexesByGroup, subset } from '../stats/subset';
import { cohortOf } from './askedCohort';
import { askedGroups, cellsOfGroups } from './askedGroups';
import { atTime } from './atTime';
import { attrition } from './attrition';
import { calendarOverlap } from './calendar';
import { caseMix } from './caseMix';
import { neverTogether, outcomeGaps } from './cautions';
import { compareGroups } from './compareGroups';
import { curveOf } from './curve';
import { groupOf, usersOfGroups } from './groupSummaries';
import { groupSurvival } from './groupSurvival';
import { medianFollowUps } from './medianFollowUps';
import { rateOf } from './rate';
import type { Analysis, AnsweredCurves, AnsweredRatios, NothingToShow } from './result';
import { riskTable } from './riskTable';
import { stepOf, type AnalysisOptions } from './step';

export interface AnswerOptions extends AnalysisOptions {
  /** Hears how the answer begins; what comes next waits until it is done. */
  readonly onCurves?: (answered: AnsweredCurves) => void | Promise<void>;
  readonly onRatios?: (answered: AnsweredRatios) => void;
}

/**
 * Answers a question from an extract. All follow-up is censored at the horizon, except for the median follow-up; the stop rule binds
 * curves and the numbers at single times. Throws the signal's reason when aborted.
 */
export async function analyse(extract: LoadedExtract, question: Question, options: AnswerOptions = {}): Promise<Analysis | NothingToShow> {
  const step = stepOf(options), found = await askedGroups(extract, question, step);
  if (found.status === 'empty') return found;
  const { database, source, conditions, factor, groups, reference } = found;

  await step('Estimating curves', 0.05);
  const { cells, group: groupOfCell } = await cellsOfGroups(found, question); // what is told first does not wait for the many cells of covariates and clusters
  const survival = groupSurvival(cells, groupOfCell, groups.map((group) => group.key), question);
  const cellsOfGroup = indexesByGroup(groupOfCell, groups.length).map((indexes) => subset(cells, indexes));
  const rates = groups.map(({ key }, g) => rateOf(key, exposure(cellsOfGroup[g]!), question.confidence));
  const first = {
    question, source, reference, rates,
    curves: survival.map((group) => curveOf(group, question)),
    atTimes: question.atYears.flatMap((years) => survival.map((group) => atTime(group, years, question))),
    riskTable: riskTable(survival, question.horizonYears),
  };
  const answered = {
    ...first,
    groups: groups.map(({ key, label }, g) => ({ key, label, procedures: cellsOfGroup[g]!.count.reduce((sum, n) => sum + n, 0), events: rates[g]!.events })),
  };
  await options.onCurves?.(answered);

  await step('Counting follow-up', 0.15);
  const asked = await cohortOf(found, question, 'together');
  await step('Comparing the groups', 0.4);
  const compared = await compareGroups(asked, question, step, (ratios) => { options.onRatios?.({ ...answered, ...ratios }); });

  await step('Counting who is in the cohort', 0.9);
  const steps = await attrition(database, conditions);
  const users = await usersOfGroups(database, conditions, factor, groups);
  await step('Setting the case mix side by side', 0.95);
  const mix = await caseMix(database, conditions, factor, groups, question);
  const calendar = await calendarOverlap(database, conditions, factor, groups);
  const gaps = await outcomeGaps(database, conditions, question, factor);
  const medians = await medianFollowUps(database, conditions, factor, groups);
  return {
    status: 'ok',
    ...first,
    ...compared,
    notes: [...asked.notes, ...neverTogether(groups, reference, calendar), ...gaps],
    attrition: steps,
    groups: groups.map((group, g) => groupOf(group, users[g]!, rates[g]!, cellsOfGroup[g]!, medians[g]!)),
    caseMix: mix,
    calendar,
  };
}
