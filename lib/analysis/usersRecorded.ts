import type { Fragment } from '../cohort/sql';
import type { Question } from '../contract/question';
import type { Expression } from '../engine/columns';
import type { Database } from '../engine/database';
import { cohortRows, type Levels } from './rows/cohortRows';
import { crossTable } from './rows/crossTable';

/** Of how many procedures of a cohort patient, hospital and surgeon are recorded. */
export interface UsersRecorded { readonly procedures: number; readonly patient: number; readonly hospital: number; readonly surgeon: number }

/** @param factor whatever the cohort is asked for by, so that it is not looked for again */
export async function usersRecorded(database: Database, conditions: readonly Fragment[], factor: Levels | null = null): Promise<UsersRecorded> {
  const rows = await cohortRows(database, conditions, factor);
  const recorded = async (expression: Expression): Promise<number> => {
    const { values, total } = await crossTable(rows, expression);
    return values.reduce((sum, value, place) => (value === 1 ? sum + total(place) : sum), 0);
  };
  return {
    procedures: rows.counts.reduce((sum, n) => sum + n, 0),
    patient: await recorded({ sql: 'patient_known', params: [] }),
    hospital: await recorded({ sql: 'hospital IS NOT NULL', params: [], column: 'hospital' }),
    surgeon: await recorded({ sql: 'surgeon IS NOT NULL', params: [], column: 'surgeon' }),
  };
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
