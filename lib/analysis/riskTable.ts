import { daysOfYears } from '../cohort/days';
import { numberAtRisk } from '../stats/eventTable';
import type { GroupSurvival } from './groupSurvival';
import type { Analysis } from './result';

/** Procedures at risk at the beginning of every whole year up to the horizon. */
export function riskTable(groups: readonly GroupSurvival[], horizonYears: number): Analysis['riskTable'] {
  const days = Array.from({ length: horizonYears + 1 }, (_, year) => daysOfYears(year));
  return { days, atRisk: groups.map(({ km }) => days.map((day) => numberAtRisk(km.table, day))) };
}
