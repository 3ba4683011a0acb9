import { daysOfYears } from '../../cohort/days';
import type { Question } from '../../contract/question';
import { conditionalPercent } from '../../stats/conditionalPercent';
import type { AskedCohort } from '../askedCohort';
import type { GroupSurvival } from '../groupSurvival';
import type { ConditionalRow } from './differenceResult';

/** From each time asked for to every later one within the horizon, group by group. */
export function conditionalRows(
  { groups }: AskedCohort, survival: readonly GroupSurvival[], { atYears, horizonYears, confidence }: Question,
): readonly ConditionalRow[] {
  const times = [...new Set(atYears)].filter((years) => years <= horizonYears).sort((a, b) => a - b);
  return groups.flatMap(({ key, label }, g) => times.flatMap((fromYears) => times.flatMap((years) => {
    const from = daysOfYears(fromYears), time = daysOfYears(years);
    if (from >= time) return [];
    const { km, stop } = survival[g]!;
    const { atRiskFrom, atRisk, events, estimate } = conditionalPercent(km, stop, from, time, { confidence });
    return [{
      group: key, label, fromYears, years, atRiskFrom, atRisk, events,
      estimate: estimate.status === 'ok' ? { value: estimate.percent, lower: estimate.lower, upper: estimate.upper } : estimate,
    }];
  })));
}
