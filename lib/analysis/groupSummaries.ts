import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import { eventCode } from '../cohort/outcome';
import { enumCode, type Fragment } from '../cohort/sql';
import type { Database } from '../engine/database';
import type { Cells } from '../stats/cells';
import type { Group, Rate } from './result';
import { cohortRows } from './rows/cohortRows';
import { crossTable, type CrossTable } from './rows/crossTable';
import { patientsOfLevels } from './rows/patientsOfLevels';

type Users = Pick<Group, 'procedures' | 'patients' | 'hospitals' | 'surgeons' | 'largestHospitalShare' | 'largestSurgeonShare' | 'firstYear' | 'lastYear'>;

/** Who got what, per group in their order. */
export async function usersOfGroups(
  database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, groups: readonly ComparedGroup[],
): Promise<readonly Users[]> {
  const rows = await cohortRows(database, conditions, factor);
  const hospitals = await crossTable(rows, { sql: enumCode('hospital'), params: [], column: 'hospital' });
  const surgeons = await crossTable(rows, { sql: enumCode('surgeon'), params: [], column: 'surgeon' });
  const years = await crossTable(rows, { sql: '"year"', params: [], column: 'year' }), patients = await patientsOfLevels(rows, groups.map(({ code }) => code));
  return groups.map(({ code }, g) => {
    const procedures = rows.counts[code + 2] ?? 0, share = (largest: number): number => (largest === 0 ? NaN : (100 * largest) / procedures);
    const ofHospitals = usersOf(hospitals, code), ofSurgeons = usersOf(surgeons, code), used = years.values.filter((_, place) => years.count(code, place) > 0);
    return {
      procedures,
      patients: patients[g]!,
      hospitals: ofHospitals.users,
      surgeons: ofSurgeons.users,
      largestHospitalShare: share(ofHospitals.largest),
      largestSurgeonShare: share(ofSurgeons.largest),
      firstYear: used[0] ?? 0,
      lastYear: used.at(-1) ?? 0,
    };
  });
}

/** How many users of a level are recorded, and the procedures at the largest; 0: none is. */
function usersOf({ values, count }: CrossTable, code: number): { readonly users: number; readonly largest: number } {
  const procedures = values.flatMap((value, place) => (Number.isNaN(value) || count(code, place) === 0 ? [] : [count(code, place)]));
  return { users: procedures.length, largest: procedures.reduce((most, n) => Math.max(most, n), 0) };
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
