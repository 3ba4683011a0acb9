import type { Fragment } from '../cohort/sql';
import { usersRecordedQuery } from '../cohort/usersRecorded';
import type { Question } from '../contract/question';
import type { Database } from '../engine/database';

/** Of how many procedures of a cohort patient, hospital and surgeon are recorded. */
export interface UsersRecorded { readonly procedures: number; readonly patient: number; readonly hospital: number; readonly surgeon: number }

export async function usersRecorded(database: Database, conditions: readonly Fragment[]): Promise<UsersRecorded> {
  const row = await database.query(usersRecordedQuery(conditions)), count = (name: string): number => row.numbers(name)[0] ?? 0;
  return { procedures: count('procedures'), patient: count('patient'), hospital: count('hospital'), surgeon: count('surgeon') };
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
