import { daysOfYears } from '../cohort/days';
import type { Question } from '../contract/question';
import { percentAt } from '../stats/cumulativePercentRevision';
import type { GroupSurvival } from './groupSurvival';
import type { AtTime } from './result';

/** One group at one time. Past the stop, or the horizon, there is no estimate, however few would be needed. */
export function atTime({ group, km, stop }: GroupSurvival, years: number, { confidence, horizonYears }: Question): AtTime {
  const { atRisk, events, estimate } = percentAt(km, stop, daysOfYears(years), { confidence });
  if (years > horizonYears) {
    return { years, group, atRisk, events, estimate: { status: 'notEstimable', reason: `beyond the ${horizonYears} years that are looked at` } };
  }
  return {
    years, group, atRisk, events,
    estimate: estimate.status === 'ok' ? { value: estimate.percent, lower: estimate.lower, upper: estimate.upper } : estimate,
  };
}
