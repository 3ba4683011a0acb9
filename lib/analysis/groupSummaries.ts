import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import { groupSummariesQuery } from '../cohort/groupSummaries';
import { eventCode } from '../cohort/outcome';
import type { Fragment } from '../cohort/sql';
import type { Database } from '../engine/database';
import type { Cells } from '../stats/cells';
import type { Group, Rate } from './result';

type Users = Pick<Group, 'procedures' | 'patients' | 'hospitals' | 'surgeons' | 'largestHospitalShare' | 'largestSurgeonShare' | 'firstYear' | 'lastYear'>;

/** Who got what, per group in their order. */
export async function usersOfGroups(
  database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, groups: readonly ComparedGroup[],
): Promise<readonly Users[]> {
  const result = await database.query(groupSummariesQuery(conditions, factor));
  const row = (group: ComparedGroup) => result.numbers('code').indexOf(group.code);
  const value = (name: string, group: ComparedGroup) => result.numbers(name)[row(group)] ?? 0, counted = (name: string, group: ComparedGroup) => value(name, group) || 0;
  return groups.map((group) => {
    const procedures = value('procedures', group);
    return {
      procedures,
      patients: value('patients', group),
      hospitals: counted('hospitals', group),
      surgeons: counted('surgeons', group),
      largestHospitalShare: (100 * value('largest_hospital', group)) / procedures,
      largestSurgeonShare: (100 * value('largest_surgeon', group)) / procedures,
      firstYear: value('first_year', group),
      lastYear: value('last_year', group),
    };
  });
}

/** A group with its events and component-years up to the horizon. */
export function groupOf(group: ComparedGroup, users: Users, rate: Rate, cells: Cells, medianFollowUpDays: number): Group {
  const ended = (code: number) => cells.event.reduce((sum, event, i) => (event === code ? sum + cells.count[i]! : sum), 0);
  return {
    key: group.key,
    label: group.label,
    ...users,
    events: rate.events,
    competing: { otherRevisions: ended(eventCode.otherRevision), deaths: ended(eventCode.death) },
    componentYears: rate.componentYears,
    medianFollowUpDays,
  };
}
