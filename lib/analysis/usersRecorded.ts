import type { Fragment } from '../cohort/sql';
import type { Question } from '../contract/question';
import type { Database } from '../engine/database';
import { cohortRows, type Levels } from './rows/cohortRows';
import { howManyMeet } from './rows/howManyMeet';

/** Of how many procedures of a cohort patient, hospital and surgeon are recorded. */
export interface UsersRecorded { readonly procedures: number; readonly patient: number; readonly hospital: number; readonly surgeon: number }

/** @param factor whatever the cohort is asked for by, so that it is not looked for again */
export async function usersRecorded(database: Database, conditions: readonly Fragment[], factor: Levels | null = null): Promise<UsersRecorded> {
  const rows = await cohortRows(database, conditions, factor);
  const [patient, hospital, surgeon] = await howManyMeet(rows, [
    { sql: 'patient_known', params: [] },
    { sql: 'hospital IS NOT NULL', params: [], column: 'hospital' },
    { sql: 'surgeon IS NOT NULL', params: [], column: 'surgeon' },
  ]);
  return { procedures: rows.counts.reduce((sum, n) => sum + n, 0), patient: patient!, hospital: hospital!, surgeon: surgeon! };
}

/**
 * What limits can allow for: where no hospital or surgeon is recorded there are no clusters of them. Where no patient is, every procedure is a
 * patient of its own, and the limits are those that are robust with independent procedures.
 */
export const clustersOf = ({ cluster }: Question, users: UsersRecorded): Question['cluster'] =>
  (cluster === 'none' || cluster === 'patient' || users[cluster] > 0 ? cluster : 'none');

/** What is to be said of limits where it is not recorded of everyone whose procedure it is. */
export function clusterNotes({ cluster }: Question, users: UsersRecorded): readonly string[] {
  if (cluster === 'none' || users[cluster] === users.procedures) return [];
  const without = (users.procedures - users[cluster]).toLocaleString('en');
  if (users[cluster] > 0) return [`The limits take each of the ${without} procedures without a recorded ${cluster} for one of a ${cluster} of its own.`];
  return [cluster === 'patient'
    ? 'No patient is recorded: the limits take every procedure for one of a patient of its own, and do not allow for two joints of one patient.'
    : `No ${cluster} is recorded: the limits do not allow for procedures of one ${cluster} being alike.`];
}
