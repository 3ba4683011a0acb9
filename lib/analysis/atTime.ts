import { daysOfYears } from '../cohort/days';
import type { Question } from '../contract/question';
import { percentAt } from '../stats/cumulativePercentRevision';
import { beyondHorizon } from './beyondHorizon';
import type { GroupSurvival } from './groupSurvival';
import type { AtTime } from './result';

/** One group at one time. There is no estimate past the stop or the horizon, however few would be needed, nor before anybody is observed. */
export function atTime({ group, km, stop }: GroupSurvival, years: number, { confidence, horizonYears }: Question): AtTime {
  const { atRisk, events, estimate } = percentAt(km, stop, daysOfYears(years), { confidence });
  if (years > horizonYears) {
    return { years, group, atRisk, events, estimate: beyondHorizon(horizonYears) };
  }
  // 0 % of nobody would read as a result
  if (atRisk <= 0 && estimate.status === 'ok' && estimate.noEvents) {
    return { years, group, atRisk, events, estimate: { status: 'notEstimable', reason: 'nobody is under observation yet (n = 0)' } };
  }
  return {
    years, group, atRisk, events,
    estimate: estimate.status === 'ok' ? { value: estimate.percent, lower: estimate.lower, upper: estimate.upper } : estimate,
  };
}
